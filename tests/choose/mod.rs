//! The decisions: which breaker, which supply, held to `check` itself, to worked cases, and to those where the honest answer is none.

mod breakers;
mod compare;
mod supplies;
mod worked;
