//! stub
#[derive(Debug, Clone)]
pub struct Derived {
    pub value: f64,
    pub low: f64,
    pub high: f64,
    pub rule: String,
}
pub fn rated_load_from_mcc(m: f64) -> Derived {
    Derived { value: m, low: m, high: m, rule: String::new() }
}
pub fn rated_load_from_mca(m: f64, _f: Option<[f64; 3]>) -> Derived {
    rated_load_from_mcc(m)
}
pub fn rated_load_from_mocp(m: f64, _f: Option<[f64; 3]>) -> Derived {
    rated_load_from_mcc(m)
}
pub fn full_load_from_hp(m: f64, _v: f64, _p: u32) -> Option<Derived> {
    Some(rated_load_from_mcc(m))
}
pub fn locked_rotor_from_hp(m: f64, _v: f64, _p: u32) -> Option<Derived> {
    Some(rated_load_from_mcc(m))
}
pub fn rated_load_from_power(m: f64, _v: f64, _p: u32, _f: [f64; 3], _e: Option<[f64; 3]>) -> Derived {
    rated_load_from_mcc(m)
}
pub fn rated_load_from_locked_rotor(m: f64, r: [f64; 3]) -> Derived {
    Derived { value: m / r[0], low: m / r[2], high: m / r[1], rule: String::new() }
}
pub fn locked_rotor_from_rated(m: f64, r: [f64; 3]) -> Derived {
    Derived { value: m * r[0], low: m * r[1], high: m * r[2], rule: String::new() }
}
pub fn locked_rotor_from_code_letter(_l: char, m: f64, _v: f64, _p: u32) -> Option<Derived> {
    Some(rated_load_from_mcc(m))
}
pub fn locked_rotor_from_start_watts(m: f64, v: f64, _p: u32) -> Derived {
    rated_load_from_mcc(m / v)
}
