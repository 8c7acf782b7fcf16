//! The layers point down only: each room uses those before it, never those after.

use std::path::Path;

/// Rooms from the bottom up; one line, one layer, its rooms free of each other.
const LAYERS: [&[&str]; 13] = [
    &["numeric"],
    &["standards"],
    &["quantity"],
    &["figure"],
    &["nameplate"],
    &["inrush", "motor", "starter", "supply", "wiring"],
    &["protection"],
    &["start"],
    &["case"],
    &["checks"],
    &["advise"],
    &["site"],
    &["report", "commands"],
];

fn level(room: &str) -> Option<usize> {
    LAYERS.iter().position(|rooms| rooms.contains(&room))
}

fn read(folder: &Path, files: &mut Vec<(String, String)>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            read(&path, files);
        } else if path.extension().is_some_and(|e| e == "rs") {
            let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
            let name = path.strip_prefix(source).unwrap().to_string_lossy().replace('\\', "/");
            files.push((name, std::fs::read_to_string(&path).unwrap()));
        }
    }
}

#[test]
fn layers_point_down_only() {
    let mut files = Vec::new();
    read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut files);
    let mut seen = 0;
    for (name, text) in &files {
        let room = name.split(['/', '.']).next().unwrap();
        let Some(here) = level(room) else { continue };
        for (at, _) in text.match_indices("crate::") {
            let used = text[at + 7..].split(|c: char| !c.is_ascii_alphanumeric() && c != '_').next().unwrap();
            let Some(there) = level(used) else { continue };
            seen += 1;
            let allowed = used == room || there < here || (room, used) == ("commands", "report");
            assert!(allowed, "src/{name} uses crate::{used}, which lies above it");
        }
    }
    assert!(seen > 50, "the reader sees {seen} uses only");
}

/// Rooms stay small: a file of more than 600 lines holds two.
#[test]
fn rooms_stay_small() {
    let mut files = Vec::new();
    read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut files);
    for (name, text) in &files {
        assert!(text.lines().count() <= 600, "src/{name} has {} lines", text.lines().count());
    }
}
