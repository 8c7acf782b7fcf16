//! The decisions: which breaker, held to `check` itself, to worked cases, and to those where the honest answer is none.

mod breakers;
