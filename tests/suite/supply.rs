//! The supply chain: each direct dependency is accounted for, and each crate of the tree has a known home.

use std::fs;
use std::path::Path;

fn text(name: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

/// Direct dependencies of the program, its platforms and its tests.
fn direct() -> Vec<String> {
    let manifest: toml::Table = text("Cargo.toml").parse().unwrap();
    let mut tables = vec![&manifest["dependencies"], &manifest["dev-dependencies"]];
    let platforms = manifest["target"].as_table().unwrap().values();
    tables.extend(platforms.filter_map(|platform| platform.get("dependencies")));
    tables.iter().flat_map(|table| table.as_table().unwrap().keys().cloned()).collect()
}

#[test]
fn every_direct_dependency_is_in_the_page_that_says_why() {
    let page = text("docs/dependencies.md");
    let missing: Vec<String> =
        direct().into_iter().filter(|name| !page.contains(&format!("`{name}`"))).collect();
    assert!(missing.is_empty(), "docs/dependencies.md says nothing of {missing:?}");
}

#[test]
fn every_crate_comes_from_the_registry_with_its_hash() {
    let lock: toml::Table = text("Cargo.lock").parse().unwrap();
    let packages = lock["package"].as_array().unwrap();
    assert!(packages.len() > 300);
    for package in packages.iter().filter(|p| p["name"].as_str() != Some("cuffnote")) {
        let (name, source) = (&package["name"], package.get("source"));
        let registry = "registry+https://github.com/rust-lang/crates.io-index";
        assert_eq!(source.and_then(|s| s.as_str()), Some(registry), "{name}");
        assert!(package.get("checksum").is_some(), "{name}");
    }
}
