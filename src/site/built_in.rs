//! The entries built into the program: a line for each file of appliances/ (a test compares the two).

use super::catalogue::Shelf;

type Entry = (Shelf, &'static str, &'static str);

macro_rules! shelf {
    ($shelf:ident $folder:literal: $($id:literal)*) => {
        &[$((Shelf::$shelf, $id, include_str!(concat!("../../appliances/", $folder, "/", $id, ".toml")))),*]
    };
}

/// Where the figures come from.
pub(super) const SOURCES: &str = include_str!("../../appliances/sources.toml");

const LOADS: &[Entry] = shelf! { Load "loads": };
const SUPPLIES: &[Entry] = shelf! { Supply "supplies": };
const STARTERS: &[Entry] = shelf! { Starter "starters": };
const BREAKERS: &[Entry] = shelf! { Breaker "breakers": };
const CLASSES: &[Entry] = shelf! { Class "classes": "blower" "hermetic-run-capacitor" "hermetic-scroll" "hermetic-split-phase" "hermetic-start-capacitor" "mixer" "piston-air-compressor" "pump-submersible" "pump-surface" "saw" "single-phase-general" "three-phase-compressor" "three-phase-general" "three-phase-hermetic" "three-phase-pump" "washing-machine"  };

/// Every shelf.
pub(super) const ALL: [&[Entry]; 5] = [LOADS, SUPPLIES, STARTERS, BREAKERS, CLASSES];
