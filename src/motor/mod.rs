//! Motors: circuits and load torque.


/// Motors given outright.
pub mod given;
