//! to be written
