//! House rules as tests: no circle between the files of a room. Reads the paths in the code, groups and all.
//!
//! A file imports another where a path of it leads there. A room's door (`mod.rs`, or `x.rs` beside `x/`) only
//! names its parts: what it re-exports of its own children is no import, and whoever takes such a name imports
//! the child. What stands in `#[cfg(test)]` modules does not count.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// Rooms whose circles are still to be opened, each with the reason. To be emptied.
const STILL: &[(&str, &str)] = &[];

/// Code as words and signs; comments, texts and characters left out, and test modules with them.
fn tokens(text: &str) -> Vec<String> {
    let code = text.split("\n#[cfg(test)]\nmod ").next().unwrap_or("");
    let chars: Vec<char> = code.chars().collect();
    let mut found = Vec::new();
    let mut at = 0;
    while at < chars.len() {
        let rest = &chars[at..];
        let taken = past_text(rest);
        if taken > 0 {
            at += taken;
        } else if is_word(rest[0]) {
            let word: String = rest.iter().take_while(|c| is_word(**c)).collect();
            at += word.chars().count();
            found.push(word);
        } else {
            let pair = rest.starts_with(&[':', ':']);
            at += 1 + usize::from(pair);
            let sign = if pair { "::".to_owned() } else { rest[0].to_string() };
            found.extend((!rest[0].is_whitespace()).then_some(sign));
        }
    }
    found
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// The length of the comment, text or character that begins here; 0 where none does.
fn past_text(rest: &[char]) -> usize {
    let until = |end: &str, from: usize| {
        let end: Vec<char> = end.chars().collect();
        let at = (from..rest.len()).find(|i| rest[*i..].starts_with(&end));
        at.map_or(rest.len(), |i| i + end.len())
    };
    match rest {
        ['/', '/', ..] => until("\n", 2),
        ['/', '*', ..] => until("*/", 2),
        ['"', ..] => past_quoted(rest),
        ['r', '"', ..] => until("\"", 2),
        ['r', '#', '"', ..] => until("\"#", 3),
        ['\'', '\\', _, ..] => until("'", 3),
        ['\'', _, '\'', ..] => 3,
        _ => 0,
    }
}

fn past_quoted(rest: &[char]) -> usize {
    let mut at = 1;
    while at < rest.len() && rest[at] != '"' {
        at += 1 + usize::from(rest[at] == '\\');
    }
    at + 1
}

/// A path as written, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Named {
    /// The modules within the file in which it stands.
    inside: Vec<String>,
    path: Vec<String>,
    /// The name that a `use` gives it there; none where it stands in full.
    name: Option<String>,
    /// Whether it is re-exported.
    passed_on: bool,
}

/// Every path in the code: those of `use`, spread out, then those written in full.
fn paths(tokens: &[String]) -> Vec<Named> {
    let token = |at: usize| tokens.get(at).map_or("", String::as_str);
    let (mut found, mut depth) = (Vec::new(), 0usize);
    let mut inside: Vec<(String, usize)> = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let here = || inside.iter().map(|(name, _)| name.clone()).collect();
        match token(at) {
            "{" => depth += 1,
            "}" => {
                depth = depth.saturating_sub(1);
                inside.retain(|(_, outside)| *outside < depth);
            }
            "mod" if token(at + 2) == "{" => inside.push((token(at + 1).to_owned(), depth)),
            // `pub(in crate::room)` says who may see, and imports nothing.
            "in" if at > 1 && token(at - 1) == "(" && token(at - 2) == "pub" => at += 1,
            "use" => {
                let passed_on = at > 0 && ["pub", ")"].contains(&token(at - 1));
                let whole = Named { inside: here(), path: Vec::new(), name: None, passed_on };
                at = spread(tokens, at + 1, &whole, &mut found);
                continue;
            }
            word if is_name(word)
                && token(at + 1) == "::"
                && (at == 0 || token(at - 1) != "::") =>
            {
                let mut path = vec![word.to_owned()];
                while token(at + 1) == "::" && is_name(token(at + 2)) {
                    at += 2;
                    path.push(token(at).to_owned());
                }
                found.push(Named { inside: here(), path, name: None, passed_on: false });
            }
            _ => {}
        }
        at += 1;
    }
    found
}

fn is_name(token: &str) -> bool {
    token.chars().next().is_some_and(is_word)
}

/// Reads one branch of a `use` from `at`, after what stands before it; gives the place after it.
fn spread(tokens: &[String], mut at: usize, before: &Named, found: &mut Vec<Named>) -> usize {
    let mut branch = before.clone();
    while at < tokens.len() {
        match tokens[at].as_str() {
            "::" => at += 1,
            "{" => {
                at += 1;
                while at < tokens.len() && tokens[at] != "}" {
                    at = spread(tokens, at, &branch, found);
                    at += usize::from(tokens.get(at).is_some_and(|t| t == ","));
                }
                return at + 1;
            }
            "as" => {
                branch.name = tokens.get(at + 1).cloned();
                found.push(branch);
                return at + 2;
            }
            "," | "}" | ";" => break,
            // `use super::x::{self}` names `x`; `use self::x` begins here.
            "self" if !before.path.is_empty() => at += 1,
            word => {
                branch.path.push(word.to_owned());
                at += 1;
            }
        }
    }
    branch.name = branch.path.last().cloned();
    found.push(branch);
    at
}

/// A crate's files by their module path, and what each names.
struct House {
    files: BTreeMap<Vec<String>, Vec<Named>>,
}

impl House {
    fn read(folder: &Path) -> Self {
        let mut files = BTreeMap::new();
        gather(folder, &[], &mut files);
        Self { files }
    }

    /// Of module and text, for tests.
    #[cfg(test)]
    fn of(texts: &[(&str, &str)]) -> Self {
        let split = |module: &str| module.split("::").map(str::to_owned).collect();
        let file = |(module, text): &(&str, &str)| (split(module), paths(&tokens(text)));
        Self { files: texts.iter().map(file).collect() }
    }

    /// The full path that a name in the file `file` stands for: `super`, `self`, `crate`, a child, or a name that
    /// a `use` gave.
    fn absolute(&self, file: &[String], named: &Named, depth: usize) -> Option<Vec<String>> {
        let path = &named.path;
        let here = [file, &named.inside].concat();
        let joined = |base: &[String], rest: &[String]| Some([base, rest].concat());
        match path.first()?.as_str() {
            "crate" => joined(&[], &path[1..]),
            "self" => joined(&here, &path[1..]),
            "super" => {
                let ups = path.iter().take_while(|p| *p == "super").count();
                joined(here.get(..here.len().checked_sub(ups)?)?, &path[ups..])
            }
            name if self.files.contains_key(&[&here[..], &[name.to_owned()]].concat()) => {
                joined(&here, path)
            }
            name if depth < 4 => {
                let gives = |n: &&Named| n.name.as_deref() == Some(name) && n.path != *path;
                let given = self.files[file].iter().find(gives)?;
                joined(&self.absolute(file, given, depth + 1)?, &path[1..])
            }
            _ => None,
        }
    }

    /// The file in which a full path ends, through the doors on its way.
    fn file(&self, path: &[String], depth: usize) -> Option<Vec<String>> {
        let reach = (1..=path.len()).rev().find(|n| self.files.contains_key(&path[..*n]))?;
        let module = &path[..reach];
        let Some(name) = path.get(reach).filter(|_| depth < 8) else {
            return Some(module.to_vec());
        };
        let gives = |n: &&Named| n.passed_on && n.name.as_ref() == Some(name);
        let through = self.files[module].iter().find(gives);
        let child = through.and_then(|n| self.absolute(module, n, 0));
        match child.filter(|child| child.starts_with(module)) {
            Some(child) => self.file(&[&child[..], &path[reach + 1..]].concat(), depth + 1),
            None => Some(module.to_vec()),
        }
    }

    /// Whom each file imports, itself left out.
    fn imports(&self) -> BTreeMap<Vec<String>, BTreeSet<Vec<String>>> {
        let of = |(here, named): (&Vec<String>, &Vec<Named>)| {
            let others = named.iter().filter_map(|named| {
                let path = self.absolute(here, named, 0)?;
                let door = named.passed_on && path.starts_with(here);
                self.file(&path, 0).filter(|other| !door && other != here)
            });
            (here.clone(), others.collect())
        };
        self.files.iter().map(of).collect()
    }

    /// Every set of files that reach each other.
    fn circles(&self) -> Vec<Vec<String>> {
        let imports = self.imports();
        let reach: BTreeMap<_, _> =
            imports.keys().map(|from| (from, reached(&imports, from))).collect();
        let mut circles = BTreeSet::new();
        for (from, all) in &reach {
            let back = all.iter().filter(|to| reach.get(to).is_some_and(|r| r.contains(*from)));
            let circle: BTreeSet<String> = back.map(|module| module.join("::")).collect();
            if !circle.is_empty() {
                circles.insert(circle.into_iter().collect());
            }
        }
        circles.into_iter().collect()
    }
}

/// All that is reached from one file, itself only round a circle.
fn reached(
    imports: &BTreeMap<Vec<String>, BTreeSet<Vec<String>>>,
    from: &Vec<String>,
) -> BTreeSet<Vec<String>> {
    let mut seen = BTreeSet::new();
    let mut next: Vec<&Vec<String>> = imports[from].iter().collect();
    while let Some(module) = next.pop() {
        if seen.insert(module.clone()) {
            next.extend(imports.get(module).into_iter().flatten());
        }
    }
    seen
}

fn gather(folder: &Path, module: &[String], files: &mut BTreeMap<Vec<String>, Vec<Named>>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let stem = path.file_stem().unwrap().to_str().unwrap().to_owned();
        let root = module.is_empty() && ["lib", "main"].contains(&stem.as_str());
        let here = [module, &[stem.clone()]].concat();
        if path.is_dir() {
            gather(&path, &here, files);
        } else if path.extension().is_some_and(|e| e == "rs") && !root {
            let here = if stem == "mod" { module.to_vec() } else { here };
            files.insert(here, paths(&tokens(&fs::read_to_string(&path).unwrap())));
        }
    }
}

/// Who imports whom within one circle, a line each.
fn arrows(circle: &[String], imports: &BTreeMap<Vec<String>, BTreeSet<Vec<String>>>) -> String {
    let inside = |module: &&Vec<String>| circle.contains(&module.join("::"));
    let line = |from: &Vec<String>| {
        let to: Vec<_> = imports[from].iter().filter(inside).map(|to| to.join("::")).collect();
        format!("  {} -> {}\n", from.join("::"), to.join(", "))
    };
    imports.keys().filter(inside).map(line).collect()
}

#[test]
fn no_circle_between_the_files_of_a_room() {
    let house = House::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"));
    assert!(house.files.len() > 200, "{} files were read", house.files.len());
    let room = |circle: &Vec<String>| circle[0].split("::").next().unwrap().to_owned();
    let still = |circle: &Vec<String>| STILL.iter().any(|(name, _)| *name == room(circle));
    let (known, faults): (Vec<_>, Vec<_>) = house.circles().into_iter().partition(still);
    for (name, why) in STILL {
        let there = known.iter().any(|circle| room(circle) == *name);
        assert!(there, "`{name}` has no circle any more: take it off the list ({why})");
    }
    let imports = house.imports();
    let lines: Vec<String> = faults.iter().map(|circle| arrows(circle, &imports)).collect();
    assert!(lines.is_empty(), "these reach each other:\n{}", lines.join("\n"));
}

#[test]
fn the_finder_sees_circles_through_groups_doors_and_names_in_full() {
    let circles = |texts: &[(&str, &str)]| House::of(texts).circles();
    let pair = vec![vec!["room::a".to_owned(), "room::b".to_owned()]];
    let grouped = [
        ("room::a", "use super::{b::{X, Y as Z}, c};"),
        ("room::b", "use super::a;"),
        ("room::c", ""),
    ];
    assert_eq!(circles(&grouped), pair);
    let full =
        [("room::a", "fn f() { super::b::g(1) }"), ("room::b", "fn g(x: crate::room::a::X) {}")];
    assert_eq!(circles(&full), pair);
    let bound = [
        ("room", "pub mod a; pub mod b;"),
        ("room::a", "use super::b;"),
        ("room::b", "use crate::room;\nfn f() { room::a::g() }"),
    ];
    assert_eq!(circles(&bound), pair);
    let door = ("room", "mod a; mod b; pub use a::X; pub use b::{Y};");
    assert_eq!(circles(&[door, ("room::a", "use super::Y;"), ("room::b", "use super::X;")]), pair);
    assert!(circles(&[door, ("room::a", "use super::Y;"), ("room::b", "")]).is_empty());
    let held = [
        ("room", "mod a; pub use a::X; pub struct H; fn f() { a::g() }"),
        ("room::a", "use super::H;"),
    ];
    assert_eq!(circles(&held), [["room", "room::a"].map(str::to_owned).to_vec()]);
    let inner = [
        ("r::a", "mod inner { use super::X; }\nuse super::b::X;"),
        ("r", "use a::X;"),
        ("r::b", ""),
    ];
    assert!(circles(&inner).is_empty(), "within a module of its own `super` is the file");
    let three =
        [("r::a", "use super::b::X;"), ("r::b", "use super::c::X;"), ("r::c", "use super::a::X;")];
    assert_eq!(circles(&three)[0].len(), 3);
}

#[test]
fn the_finder_takes_no_text_comment_or_test_for_code() {
    let quiet = "// super::b::x\n/* super::b::x */ fn f() { \"super::b \\\" super::b::x\"; '\"'; r#\"super::b::x\"#; }\n#[cfg(test)]\nmod tests { use super::super::b::X; }";
    assert!(House::of(&[("room::a", quiet), ("room::b", "use super::a::f;")]).circles().is_empty());
    let lifetime = "fn f<'a>(x: &'a str) { super::b::g() }";
    assert_eq!(
        House::of(&[("room::a", lifetime), ("room::b", "use super::a::f;")]).circles().len(),
        1
    );
}
