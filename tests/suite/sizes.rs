//! House rules as tests: files under 500 lines, functions under 70, at most five parameters, and no bare sentence as
//! an error outside `cli`. They hold for `src`; what does not keep them is an exception with a name and a reason.

use std::fs;
use std::path::Path;

/// A file has fewer lines than this, its tests among them.
const FILE_LINES: usize = 500;
/// A function has fewer lines than this, from `fn` to its last brace.
const FUNCTION_LINES: usize = 70;
/// Parameters that a function may take, `self` not counted; a tuple counts as one.
const PARAMETERS: usize = 5;
/// More exceptions than this are no exceptions.
const EXCEPTIONS_MAX: usize = 5;

/// A rule, the file that breaks it, and why that is right for now.
const EXCEPTIONS: &[(Rule, &str, &str)] = &[
    (
        Rule::File,
        "signal/listener.rs",
        "three hearings over one stream of frames share their state; taken apart they would pass it round",
    ),
    (
        Rule::BareSentence,
        "report/table/sheet.rs",
        "a bad row is no error: it stands among the rows with the sentence that is shown beside it",
    ),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Rule {
    File,
    Function,
    Parameters,
    BareSentence,
}

/// What breaks a rule: which, where, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Fault {
    rule: Rule,
    line: usize,
    words: String,
}

/// The code with every comment, text and character turned into blanks; lines stay where they were.
fn bare(text: &str) -> Vec<char> {
    let chars: Vec<char> = text.chars().collect();
    let (mut out, mut at) = (Vec::with_capacity(chars.len()), 0);
    while at < chars.len() {
        let quiet = quiet(&chars[at..]);
        let until = (at + quiet.max(1)).min(chars.len());
        let blank = |c: &char| if *c == '\n' { '\n' } else { ' ' };
        match quiet {
            0 => out.push(chars[at]),
            _ => out.extend(chars[at..until].iter().map(blank)),
        }
        at = until;
    }
    out
}

/// The length of the comment, text or character that begins here; 0 where none does.
fn quiet(rest: &[char]) -> usize {
    let until = |end: &str, from: usize| {
        let end: Vec<char> = end.chars().collect();
        let found = (from..rest.len()).find(|i| rest[*i..].starts_with(&end));
        found.map_or(rest.len(), |i| i + end.len())
    };
    match rest {
        ['/', '/', ..] => until("\n", 2) - 1,
        ['/', '*', ..] => until("*/", 2),
        ['r', '#', '"', ..] => until("\"#", 3),
        ['"', ..] => {
            let mut at = 1;
            while at < rest.len() && rest[at] != '"' {
                at += 1 + usize::from(rest[at] == '\\');
            }
            at + 1
        }
        ['\'', '\\', _, ..] => until("'", 3),
        ['\'', _, '\'', ..] => 3,
        _ => 0,
    }
}

/// Where what opens at `at` closes; arrows close nothing.
fn closing(code: &[char], at: usize) -> usize {
    let mut depth = 0_i32;
    for i in at..code.len() {
        match code[i] {
            '(' | '[' | '{' | '<' => depth += 1,
            ')' | ']' | '}' => depth -= 1,
            '>' if i > 0 && !['-', '='].contains(&code[i - 1]) => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return i;
        }
    }
    code.len()
}

/// Where a body that opens at `at` ends; only braces count, since `<` may compare.
fn end_of_body(code: &[char], at: usize) -> usize {
    let mut depth = 0_i32;
    let end = (at..code.len()).find(|i| {
        depth += i32::from(code[*i] == '{') - i32::from(code[*i] == '}');
        depth == 0
    });
    end.unwrap_or(code.len())
}

/// How many parameters stand between two brackets, `self` not counted.
fn parameters(inside: &[char]) -> usize {
    let (mut parts, mut at) = (vec![String::new()], 0);
    while at < inside.len() {
        let end = match inside[at] {
            '(' | '[' | '{' | '<' => closing(inside, at).min(inside.len() - 1),
            _ => at,
        };
        match inside[at] {
            ',' => parts.push(String::new()),
            _ => parts.last_mut().unwrap().extend(&inside[at..=end]),
        }
        at = end + 1;
    }
    let names = parts.iter().map(|part| part.split(':').next().unwrap_or("").trim());
    let own = |name: &&str| name.split([' ', '&']).next_back() == Some("self");
    names.filter(|name| !name.is_empty() && !own(name)).count()
}

/// Every function: the line of its `fn`, its name, its parameters, its lines.
fn functions(code: &[char]) -> Vec<(usize, String, usize, usize)> {
    let line = |at: usize| code[..at].iter().filter(|c| **c == '\n').count() + 1;
    let word = |c: char| c.is_alphanumeric() || c == '_';
    let begins =
        |at: &usize| code[*at..].starts_with(&['f', 'n', ' ']) && (*at == 0 || !word(code[at - 1]));
    let mut found = Vec::new();
    for at in (0..code.len()).filter(begins) {
        let name: String = code[at + 3..].iter().take_while(|c| word(**c)).collect();
        let mut open = at + 3 + name.chars().count();
        if code.get(open) == Some(&'<') {
            open = closing(code, open) + 1;
        }
        if name.is_empty() || code.get(open) != Some(&'(') {
            continue;
        }
        let close = closing(code, open);
        let count = parameters(&code[open + 1..close]);
        let body = (close..code.len()).find(|i| ['{', ';'].contains(&code[*i]));
        let lines = match body {
            Some(body) if code[body] == '{' => line(end_of_body(code, body)) - line(at) + 1,
            _ => 0,
        };
        found.push((line(at), name, count, lines));
    }
    found
}

/// Lines of a `Result` whose fault is a bare `String`, wrapped lines and nested types too.
fn bare_sentences(code: &[char]) -> Vec<usize> {
    let head: Vec<char> = "Result<".chars().collect();
    let mut found = Vec::new();
    for at in (0..code.len()).filter(|at| code[*at..].starts_with(&head)) {
        let inside: String =
            code[at + head.len()..closing(code, at + head.len() - 1)].iter().collect();
        let fault = inside.trim().trim_end_matches(',').rsplit(',').next().unwrap_or("").trim();
        if fault == "String" && inside.contains(',') {
            found.push(code[..at].iter().filter(|c| **c == '\n').count() + 1);
        }
    }
    found
}

fn faults(file: &str, text: &str) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut say = |rule, line, words| faults.push(Fault { rule, line, words });
    let (lines, code) = (text.lines().count(), bare(text));
    if lines >= FILE_LINES {
        say(Rule::File, 1, format!("{lines} lines"));
    }
    for (line, name, count, lines) in functions(&code) {
        if lines >= FUNCTION_LINES {
            say(Rule::Function, line, format!("`{name}` has {lines} lines"));
        }
        if count > PARAMETERS {
            say(Rule::Parameters, line, format!("`{name}` takes {count}"));
        }
    }
    if !file.starts_with("cli/") {
        for line in bare_sentences(&code) {
            say(Rule::BareSentence, line, "a fault is a type, not a `String`".to_owned());
        }
    }
    faults
}

fn files(folder: &Path, found: &mut Vec<std::path::PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        match path.is_dir() {
            true => files(&path, found),
            false if path.extension().is_some_and(|e| e == "rs") => found.push(path),
            false => {}
        }
    }
}

#[test]
fn files_functions_parameters_and_faults_keep_their_limits() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut all = Vec::new();
    files(&root, &mut all);
    assert!(all.len() > 200, "{} files were read", all.len());
    let (mut said, mut used) = (Vec::new(), vec![false; EXCEPTIONS.len()]);
    for path in all {
        let file = path.strip_prefix(&root).unwrap().to_str().unwrap().replace('\\', "/");
        for Fault { rule, line, words } in faults(&file, &fs::read_to_string(&path).unwrap()) {
            match EXCEPTIONS.iter().position(|e| (e.0, e.1) == (rule, file.as_str())) {
                Some(n) => used[n] = true,
                None => said.push(format!("src/{file}:{line}: {words}")),
            }
        }
    }
    assert!(said.is_empty(), "{}", said.join("\n"));
    assert!(EXCEPTIONS.len() <= EXCEPTIONS_MAX, "{} exceptions", EXCEPTIONS.len());
    for ((_, file, why), used) in EXCEPTIONS.iter().zip(used) {
        assert!(used, "{file} keeps the rule now: take it off the list ({why})");
    }
}

#[test]
fn the_finder_of_lengths_counts_lines_of_files_and_functions() {
    let of =
        |text: &str| faults("x.rs", text).into_iter().map(|f| (f.rule, f.line)).collect::<Vec<_>>();
    assert_eq!(of(&"\n".repeat(500)), [(Rule::File, 1)]);
    assert_eq!(of(&"\n".repeat(499)), []);
    let body = |inside: usize| {
        format!("// fn no() {{\nfn a() {{{} let x = \"}}\"; }}\n", "\n".repeat(inside))
    };
    assert_eq!(of(&body(69)), [(Rule::Function, 2)], "a brace within a text closes nothing");
    assert_eq!(of(&body(68)), []);
    assert_eq!(of(&format!("trait T {{ fn a();\n{} }}", "\n".repeat(80))), [], "without a body");
}

#[test]
fn the_finder_of_parameters_counts_neither_self_nor_what_lies_within_types() {
    let count = |text: &str| functions(&bare(text))[0].2;
    assert_eq!(count("fn a(&mut self, a: A, b: B) {}"), 2);
    assert_eq!(count("fn a<'a, T: Into<U>>(&'a self, (a, b): (A, B), c: Map<A, B>,) -> C {}"), 2);
    assert_eq!(count("fn a(f: impl Fn(A, B) -> Result<C, D>, g: [u8; 4], mut h: H) {}"), 3);
    assert_eq!(count("fn a() {}"), 0);
    let six = "fn a(a: A, b: B, c: C, d: D, e: E, f: F) {}";
    assert_eq!(faults("x.rs", six)[0].rule, Rule::Parameters);
    assert!(faults("x.rs", "fn a(self, a: A, b: B, c: C, d: D, e: E) {}").is_empty());
}

#[test]
fn the_finder_of_bare_sentences_reads_wrapped_and_nested_results() {
    let lines = |text: &str| bare_sentences(&bare(text));
    assert_eq!(lines("fn a() -> Result<(), String> {}"), [1]);
    assert_eq!(lines("\nfn a() -> Result<\n    Vec<(A, B)>,\n    String,\n> {}"), [2]);
    assert_eq!(lines("x: Option<Result<Vec<A>, String>>"), [1]);
    assert!(lines("fn a() -> Result<String, Fault> {} // Result<(), String>").is_empty());
    assert!(lines("type Result<T> = std::result::Result<T, Fault>; x: Result<String>").is_empty());
    assert!(faults("cli/x.rs", "fn a() -> Result<(), String> {}").is_empty());
    assert_eq!(faults("live/x.rs", "fn a() -> Result<(), String> {}")[0].rule, Rule::BareSentence);
}
