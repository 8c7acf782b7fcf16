//! IEC 60947-4-1, overload relays: trip classes (clause 8.2.1.5, table 2).
//!
//! Times at 7.2 times the setting compared with one published copy, all else from memory. Class 5 and the narrower
//! tolerance band E are not held here.

/// Carried for [`CONVENTIONAL_S`] from cold, multiple of the setting (from memory).
pub const NON_TRIPPING: f64 = 1.05;
/// Trips within [`CONVENTIONAL_S`] after that, multiple of the setting (from memory).
pub const TRIPPING: f64 = 1.2;
/// Conventional time \[s\] (from memory).
pub const CONVENTIONAL_S: f64 = 7200.0;
/// Current of the test of a warm relay, multiple of the setting (from memory).
pub const WARM: f64 = 1.5;
/// Current of the test that names the class, from cold, multiple of the setting.
pub const FROM_COLD: f64 = 7.2;

/// A trip class.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TripClass {
    /// 10A.
    TenA,
    /// 10.
    Ten,
    /// 20.
    Twenty,
    /// 30.
    Thirty,
}

impl TripClass {
    /// Every class with its name.
    pub const ALL: [(&'static str, TripClass); 4] = [
        ("10A", TripClass::TenA),
        ("10", TripClass::Ten),
        ("20", TripClass::Twenty),
        ("30", TripClass::Thirty),
    ];

    /// Its name.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, class)| *class == self).map_or("", |(word, _)| word)
    }

    /// Time to trip at [`FROM_COLD`] times the setting \[s\]: above the first, at most the second.
    pub fn from_cold_s(self) -> [f64; 2] {
        match self {
            TripClass::TenA => [2.0, 10.0],
            TripClass::Ten => [4.0, 10.0],
            TripClass::Twenty => [6.0, 20.0],
            TripClass::Thirty => [9.0, 30.0],
        }
    }

    /// Longest time to trip at [`WARM`] times the setting, after running at the setting \[s\] (from memory).
    pub fn warm_s(self) -> f64 {
        match self {
            TripClass::TenA => 120.0,
            TripClass::Ten => 240.0,
            TripClass::Twenty => 480.0,
            TripClass::Thirty => 720.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_classes_add_up_and_are_in_order() {
        let sum = |f: fn(TripClass) -> f64| TripClass::ALL.iter().map(|(_, class)| f(*class)).sum::<f64>();
        assert_eq!(sum(|c| c.from_cold_s()[0]), 21.0);
        assert_eq!(sum(|c| c.from_cold_s()[1]), 70.0);
        assert_eq!(sum(TripClass::warm_s), 1560.0);
        for (word, class) in TripClass::ALL {
            assert!(class.from_cold_s()[0] < class.from_cold_s()[1] && class.word() == word);
        }
        assert_eq!((NON_TRIPPING, TRIPPING, WARM, FROM_COLD), (1.05, 1.2, 1.5, 7.2));
    }
}
