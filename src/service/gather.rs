//! Record books into PostgreSQL: only what came since the last time, each visit whole or not at all.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, ensure};
use postgres::Client;
use uuid::Uuid;

use super::choices::{Choices, named};
use super::database::{self, told};
use super::dictionary::{ATTEMPT, LEG, VISIT};
use super::facts::Cell;
use super::rows::line;
use super::said::{many, note, say, sentence};
use super::stream::{self, Named, Read};
use super::visits::{self, Worked};
use crate::logbook::{Head, VisitId, Writer};

#[derive(clap::Args)]
pub(super) struct Words {
    /// A record book's folder, or NAME=FOLDER where the service is named; may be given several times
    #[arg(long, value_name = "[NAME=]DIR", required_unless_present = "shared")]
    book: Vec<String>,
    /// A folder that clinics share by `cuffnote book sync --clinic`: each one's own folder in it is a service
    #[arg(long, value_name = "DIR", requires = "work")]
    shared: Option<PathBuf>,
    /// Where the books of shared folders are kept between runs
    #[arg(long, value_name = "DIR")]
    work: Option<PathBuf>,
    /// The database, such as postgres://writer@db.clinic.example/cuffnote; never with a password in it
    #[arg(long, value_name = "URL")]
    to: Option<String>,
}

/// A book with the service it belongs to.
struct Source {
    service: String,
    folder: PathBuf,
}

/// Gathers what came since. True where nothing was left out.
pub(super) fn run(words: &Words, choices: &Choices) -> anyhow::Result<bool> {
    let to = words.to.as_ref().or(choices.database.to.as_ref());
    let to = to.context("name the database with --to, or as database.to in the settings")?;
    let mut sources: Vec<Source> = words
        .book
        .iter()
        .map(|text| named(text))
        .map(|(service, folder)| Source { service, folder })
        .collect();
    let mut good = true;
    if let (Some(shared), Some(work)) = (&words.shared, &words.work) {
        let (found, all) = taken(shared, work)?;
        sources.extend(found);
        good &= all;
    }
    let mut client = database::open(to, &choices.database)?;
    database::prepare(&mut client)?;
    let (mut count, mut gone, mut skipped) = (0, 0, 0);
    for source in &sources {
        match one(&mut client, source) {
            Ok(came) => {
                count += came.visits;
                gone += came.gone;
                skipped += came.skipped;
                good &= came.broken == 0;
            }
            // A book that cannot be read hides no other; a database that cannot be written ends the run.
            Err(fault) if client.is_closed() || fault.to_string().starts_with("the database:") => {
                return Err(fault);
            }
            Err(fault) => {
                good = false;
                note(&format!("{}: {}", source.folder.display(), sentence(&fault)));
            }
        }
    }
    let more = if gone > 0 { format!(", {gone} deleted") } else { String::new() };
    say(&format!("{} gathered{more}, {skipped} skipped", many(count, "visit")))?;
    Ok(good && skipped == 0)
}

/// Takes each clinic's folder in a shared one into a book of its own; whether all could be taken.
fn taken(shared: &Path, work: &Path) -> anyhow::Result<(Vec<Source>, bool)> {
    ensure!(shared.is_dir(), "{}: is no folder: is the share connected?", shared.display());
    let mut shelves: Vec<PathBuf> = Vec::new();
    let entries = std::fs::read_dir(shared).with_context(|| shared.display().to_string())?;
    for entry in entries {
        let path = entry.with_context(|| shared.display().to_string())?.path();
        if path.join("entries").is_dir() {
            shelves.push(path);
        }
    }
    if shared.join("entries").is_dir() {
        shelves.push(shared.to_owned());
    }
    shelves.sort();
    ensure!(!shelves.is_empty(), "{}: no clinic has left anything there", shared.display());
    let (mut sources, mut good) = (Vec::new(), true);
    for shelf in shelves {
        let real = shelf.canonicalize().unwrap_or_else(|_| shelf.clone());
        let service =
            real.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
        let folder = work.join(&service);
        let mut writer = Writer::open(&folder)?;
        match writer.take_all(&shelf) {
            Ok(synced) => {
                good &= synced.failed.is_empty();
                synced.failed.iter().for_each(|why| note(why));
            }
            Err(fault) => {
                good = false;
                note(&format!("{}: {fault}", shelf.display()));
            }
        }
        sources.push(Source { service, folder });
    }
    Ok((sources, good))
}

/// What came of a book.
struct Came {
    visits: u64,
    gone: u64,
    skipped: u64,
    broken: usize,
}

fn one(client: &mut Client, source: &Source) -> anyhow::Result<Came> {
    let book = visits::open(&source.folder)?;
    let Some(own) = own(&book)? else {
        return Ok(Came { visits: 0, gone: 0, skipped: 0, broken: 0 });
    };
    let key = Uuid::parse_str(&own)?;
    let known = known(client, key)?;
    let since = book.since(&known)?;
    since.broken.iter().for_each(|why| {
        note(&format!("{}: {why}: nothing of it was gathered", source.folder.display()))
    });
    let ids: Vec<VisitId> = since.visits.into_iter().collect();
    let by = Named { folder: &source.folder, service: &source.service, book: &own };
    let (mut visits, mut gone) = (0, 0);
    let skipped = stream::through(&by, &ids, amendments, |piece| {
        let (there, without) = write(client, &piece)?;
        visits += there;
        gone += without;
        Ok(())
    })?;
    heads(client, key, &source.service, &since.heads)?;
    Ok(Came { visits, gone, skipped, broken: since.broken.len() })
}

/// The chain that stands for a book: its own, or in a book that only gathers the first of the others'.
fn own(book: &crate::logbook::Book) -> anyhow::Result<Option<String>> {
    match book.own_chain()? {
        Some(chain) => Ok(Some(chain)),
        None => Ok(book.since(&[])?.heads.into_iter().next().map(|head| head.chain)),
    }
}

fn known(client: &mut Client, book: Uuid) -> anyhow::Result<Vec<Head>> {
    let text = "SELECT chain::text, entries, head FROM cuffnote.chain WHERE book = $1::text::uuid";
    let rows = told(client.query(text, &[&book.to_string()]), "the chains could not be read")?;
    let head = |row: &postgres::Row| Head {
        chain: row.get(0),
        entries: row.get::<_, i64>(1).unsigned_abs(),
        hash: row.get(2),
    };
    Ok(rows.iter().map(head).collect())
}

fn heads(client: &mut Client, book: Uuid, service: &str, heads: &[Head]) -> anyhow::Result<()> {
    for head in heads {
        let text = "INSERT INTO cuffnote.chain (book, chain, service, entries, head)
            VALUES ($1::text::uuid, $2::text::uuid, $3, $4, $5)
            ON CONFLICT (book, chain) DO UPDATE SET service = excluded.service, entries = excluded.entries,
            head = excluded.head, gathered_at = now()";
        let entries = i64::try_from(head.entries)?;
        let done =
            client.execute(text, &[&book.to_string(), &head.chain, &service, &entries, &head.hash]);
        told(done, "a chain's head could not be kept")?;
    }
    Ok(())
}

/// The visit's corrections as lines of a copy.
fn amendments(worked: &Worked) -> Vec<Vec<Cell>> {
    let one = |(number, amended): (i64, &crate::clinical::visit::Amended)| {
        let text = |act| serde_json::to_string(act).unwrap_or_default();
        let what = serde_json::to_value(&amended.old)
            .ok()
            .and_then(|v| v["kind"].as_str().map(str::to_owned));
        vec![
            Cell::Whole(number),
            Cell::Instant(amended.at.utc().as_microsecond()),
            Cell::Whole(i64::try_from(amended.of).unwrap_or_default()),
            Cell::Text(what.unwrap_or_default()),
            // A NUL that was typed cannot stand in a database's JSON.
            Cell::Text(text(&amended.old).replace("\\u0000", " ")),
            Cell::Text(text(&amended.new).replace("\\u0000", " ")),
            Cell::Text(amended.who.clone()),
            Cell::Text(amended.why.clone()),
        ]
    };
    (1..).zip(&worked.visit.amended).map(one).collect()
}

/// Writes a piece: what was there of its visits goes, and what they are now comes, in one step.
fn write(client: &mut Client, piece: &[Read<Vec<Vec<Cell>>>]) -> anyhow::Result<(u64, u64)> {
    let mut all = told(client.transaction(), "nothing could be begun")?;
    let ids: Vec<String> = piece
        .iter()
        .map(|read| match read {
            Read::There(facts, _) => facts.id.clone(),
            Read::Gone(id) => id.to_string(),
        })
        .collect();
    let clear = "DELETE FROM cuffnote.visit WHERE visit = ANY($1::text[]::uuid[])";
    let cleared = told(all.execute(clear, &[&ids]), "older rows could not be replaced")?;
    let mut tables = [const { Vec::new() }; 4];
    let mut there = 0;
    for read in piece {
        let Read::There(facts, amended) = read else { continue };
        there += 1;
        line(&facts.visit, &mut tables[0]);
        facts.legs.iter().for_each(|row| line(row, &mut tables[1]));
        facts.attempts.iter().for_each(|row| line(row, &mut tables[2]));
        for row in amended {
            let whole = [vec![Cell::Text(facts.id.clone())], row.clone()].concat();
            line(&whole, &mut tables[3]);
        }
    }
    let names = |columns: &[super::dictionary::Column]| {
        columns.iter().map(|column| column.name).collect::<Vec<_>>().join(", ")
    };
    let amendment = "visit, number, at, of_event, what, old, new, who, why".to_owned();
    let into = [
        ("visit", names(VISIT)),
        ("leg", names(LEG)),
        ("attempt", names(ATTEMPT)),
        ("amendment", amendment),
    ];
    for ((table, columns), bytes) in into.iter().zip(&tables) {
        if bytes.is_empty() {
            continue;
        }
        let text = format!("COPY cuffnote.{table} ({columns}) FROM STDIN");
        let mut copy = told(all.copy_in(&text), "rows could not be written")?;
        copy.write_all(bytes).context("the database: rows could not be written")?;
        told(copy.finish(), "rows could not be written")?;
    }
    told(all.commit(), "rows could not be kept")?;
    let gone = piece.iter().filter(|read| matches!(read, Read::Gone(_))).count() as u64;
    Ok((there, gone.min(cleared)))
}
