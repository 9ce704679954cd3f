"""The schema of the book, as small named steps that are only ever appended to.

Raw DDL, since sqlite-utils' create() takes no CHECK. Every table is STRICT and every key is led by the shop.
"""

from __future__ import annotations

from pathlib import Path

from sqlite_utils import Database, Migrations

from .connection import open_database

book = Migrations("book")


def _run(db: Database, *statements: str) -> None:
    for statement in statements:
        db.execute(statement)


@book(name="0001_shop", transactional=True)
def shop(db: Database) -> None:
    """The shop with its counter row, its people, their phones and the one-time codes."""
    _run(
        db,
        """CREATE TABLE shops (
            shop_id TEXT PRIMARY KEY, name TEXT NOT NULL CHECK (name <> ''), created_at TEXT NOT NULL,
            seq INTEGER NOT NULL DEFAULT 0 CHECK (seq >= 0), epoch TEXT NOT NULL, backed_up_to INTEGER
        ) STRICT""",
        """CREATE TABLE people (
            shop_id TEXT NOT NULL REFERENCES shops, id TEXT NOT NULL, name TEXT NOT NULL CHECK (name <> ''),
            role TEXT NOT NULL CHECK (role IN ('owner', 'mechanic')), active INTEGER NOT NULL CHECK (active IN (0, 1)),
            PRIMARY KEY (shop_id, id)
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE pairing_codes (
            shop_id TEXT NOT NULL, code_hash TEXT NOT NULL UNIQUE, person_id TEXT NOT NULL, expires_at INTEGER NOT NULL,
            PRIMARY KEY (shop_id, code_hash), FOREIGN KEY (shop_id, person_id) REFERENCES people
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE devices (
            shop_id TEXT NOT NULL, id TEXT NOT NULL, name TEXT NOT NULL, person_id TEXT NOT NULL,
            token_hash TEXT UNIQUE, paired_at TEXT NOT NULL, last_seen_at TEXT, revoked_at TEXT,
            clock_offset_ms INTEGER,
            PRIMARY KEY (shop_id, id), FOREIGN KEY (shop_id, person_id) REFERENCES people
        ) STRICT, WITHOUT ROWID""",
    )


@book(name="0002_bikes_and_jobs", transactional=True)
def bikes_and_jobs(db: Database) -> None:
    """Customers in a table of their own, bikes and jobs at their newest seq."""
    _run(
        db,
        """CREATE TABLE customers (
            shop_id TEXT NOT NULL REFERENCES shops, id TEXT NOT NULL, body TEXT, erased_at TEXT,
            CHECK ((body IS NULL) = (erased_at IS NOT NULL)), PRIMARY KEY (shop_id, id)
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE bikes (
            shop_id TEXT NOT NULL REFERENCES shops, id TEXT NOT NULL, seq INTEGER NOT NULL CHECK (seq > 0),
            customer_id TEXT, family TEXT NOT NULL, body TEXT NOT NULL, search TEXT NOT NULL, updated_at TEXT NOT NULL,
            PRIMARY KEY (shop_id, id), FOREIGN KEY (shop_id, customer_id) REFERENCES customers
        ) STRICT, WITHOUT ROWID""",
        "CREATE UNIQUE INDEX bikes_by_seq ON bikes (shop_id, seq)",
        """CREATE TABLE jobs (
            shop_id TEXT NOT NULL, id TEXT NOT NULL, seq INTEGER NOT NULL CHECK (seq > 0), bike_id TEXT NOT NULL,
            kind TEXT NOT NULL CHECK (kind IN ('build', 'service', 'comeback')),
            state TEXT NOT NULL CHECK (state IN ('open', 'handed_over', 'closed')),
            opened_at TEXT NOT NULL, opened_ms INTEGER NOT NULL, comeback_of TEXT, body TEXT NOT NULL,
            updated_at TEXT NOT NULL, closed TEXT,
            PRIMARY KEY (shop_id, id), FOREIGN KEY (shop_id, bike_id) REFERENCES bikes,
            FOREIGN KEY (shop_id, comeback_of) REFERENCES jobs
        ) STRICT, WITHOUT ROWID""",
        "CREATE UNIQUE INDEX jobs_by_seq ON jobs (shop_id, seq)",
        "CREATE INDEX jobs_by_bike ON jobs (shop_id, bike_id, opened_ms)",
    )


@book(name="0003_gauges_and_bands", transactional=True)
def gauges_and_bands(db: Database) -> None:
    """Gauges, the shop's own bands and uncertainties: appended, in force from receipt."""
    _run(
        db,
        """CREATE TABLE gauges (
            shop_id TEXT NOT NULL REFERENCES shops, id TEXT NOT NULL, body TEXT NOT NULL, PRIMARY KEY (shop_id, id)
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE bands (
            shop_id TEXT NOT NULL REFERENCES shops, number INTEGER NOT NULL, quantity TEXT NOT NULL,
            body TEXT NOT NULL, in_force_from TEXT NOT NULL, by_person TEXT NOT NULL, PRIMARY KEY (shop_id, number)
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE quantity_u (
            shop_id TEXT NOT NULL REFERENCES shops, quantity TEXT NOT NULL, number INTEGER NOT NULL,
            u REAL NOT NULL CHECK (u >= 0), in_force_from TEXT NOT NULL, study TEXT NOT NULL,
            PRIMARY KEY (shop_id, quantity, number)
        ) STRICT, WITHOUT ROWID""",
    )


@book(name="0004_entries", transactional=True)
def entries(db: Database) -> None:
    """Entries, only ever added, with the hash of their RFC 8785 form; what clashed; the clocks of the phones."""
    _run(
        db,
        """CREATE TABLE entries (
            shop_id TEXT NOT NULL, id TEXT NOT NULL, seq INTEGER NOT NULL CHECK (seq > 0), hash BLOB NOT NULL,
            job_id TEXT NOT NULL, bike_id TEXT NOT NULL, device_id TEXT NOT NULL, device_seq INTEGER NOT NULL,
            kind TEXT NOT NULL, stage TEXT NOT NULL CHECK (stage IN ('found', 'bench', 'road')),
            taken_ms INTEGER NOT NULL, offset_ms INTEGER NOT NULL, received_at TEXT NOT NULL,
            by_person TEXT, replaces TEXT, gauge_id TEXT, odometer_km REAL, quantity TEXT, ring INTEGER, cog INTEGER,
            value REAL, low REAL, high REAL, unit TEXT, u REAL CHECK (u >= 0), adjuster TEXT, amount REAL,
            fastener TEXT, check_id TEXT, outcome TEXT, body TEXT NOT NULL, derived TEXT,
            CHECK ((quantity IS NOT NULL) = (kind = 'reading')), CHECK (low IS NULL OR low <= high),
            PRIMARY KEY (shop_id, id),
            FOREIGN KEY (shop_id, job_id) REFERENCES jobs, FOREIGN KEY (shop_id, bike_id) REFERENCES bikes,
            FOREIGN KEY (shop_id, device_id) REFERENCES devices, FOREIGN KEY (shop_id, replaces) REFERENCES entries,
            FOREIGN KEY (shop_id, by_person) REFERENCES people, FOREIGN KEY (shop_id, gauge_id) REFERENCES gauges
        ) STRICT""",
        "CREATE UNIQUE INDEX entries_by_seq ON entries (shop_id, seq)",
        "CREATE INDEX entries_by_job ON entries (shop_id, job_id)",
        "CREATE INDEX entries_by_quantity ON entries (shop_id, bike_id, quantity) WHERE quantity IS NOT NULL",
        "CREATE INDEX entries_by_replaced ON entries (shop_id, replaces) WHERE replaces IS NOT NULL",
        "CREATE INDEX entries_by_device ON entries (shop_id, device_id, device_seq)",
        """CREATE TABLE entry_conflicts (
            shop_id TEXT NOT NULL, id TEXT NOT NULL, hash BLOB NOT NULL, device_id TEXT NOT NULL, body TEXT NOT NULL,
            received_at TEXT NOT NULL,
            PRIMARY KEY (shop_id, id, hash), FOREIGN KEY (shop_id, id) REFERENCES entries
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE clock_offsets (
            shop_id TEXT NOT NULL, device_id TEXT NOT NULL, received_at TEXT NOT NULL, offset_ms INTEGER NOT NULL,
            PRIMARY KEY (shop_id, device_id, received_at), FOREIGN KEY (shop_id, device_id) REFERENCES devices
        ) STRICT, WITHOUT ROWID""",
    )


@book(name="0005_records", transactional=True)
def records(db: Database) -> None:
    """Set-up records, frozen and signed, the links to them, and photos."""
    _run(
        db,
        """CREATE TABLE signing_keys (
            shop_id TEXT NOT NULL REFERENCES shops, key_id TEXT NOT NULL, public_key TEXT NOT NULL,
            first_used_at TEXT NOT NULL, PRIMARY KEY (shop_id, key_id)
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE records (
            shop_id TEXT NOT NULL, id TEXT NOT NULL, job_id TEXT NOT NULL, bike_id TEXT NOT NULL, number TEXT NOT NULL,
            seq INTEGER NOT NULL, handed_over_at TEXT NOT NULL, handed_over_ms INTEGER NOT NULL, amends TEXT,
            customer_id TEXT, document TEXT NOT NULL, signature TEXT NOT NULL, key_id TEXT NOT NULL,
            PRIMARY KEY (shop_id, id), FOREIGN KEY (shop_id, job_id) REFERENCES jobs,
            FOREIGN KEY (shop_id, customer_id) REFERENCES customers,
            FOREIGN KEY (shop_id, key_id) REFERENCES signing_keys,
            FOREIGN KEY (shop_id, bike_id) REFERENCES bikes, FOREIGN KEY (shop_id, amends) REFERENCES records
        ) STRICT, WITHOUT ROWID""",
        "CREATE INDEX records_by_job ON records (shop_id, job_id, seq)",
        "CREATE INDEX records_by_bike ON records (shop_id, bike_id, seq)",
        """CREATE TABLE record_links (
            shop_id TEXT NOT NULL, id TEXT NOT NULL, record_id TEXT NOT NULL, token_hash TEXT NOT NULL UNIQUE,
            created_at TEXT NOT NULL, expires_at TEXT NOT NULL, expires_ms INTEGER NOT NULL,
            PRIMARY KEY (shop_id, id), FOREIGN KEY (shop_id, record_id) REFERENCES records
        ) STRICT, WITHOUT ROWID""",
        "CREATE INDEX record_links_by_record ON record_links (shop_id, record_id)",
        """CREATE TABLE photos (
            shop_id TEXT NOT NULL REFERENCES shops, sha256 TEXT NOT NULL, content_type TEXT NOT NULL,
            received_at TEXT NOT NULL, data BLOB NOT NULL, PRIMARY KEY (shop_id, sha256)
        ) STRICT""",
    )


@book(name="0006_reviews", transactional=True)
def reviews(db: Database) -> None:
    """First guesses, and the steps and causes that the shop wrote itself: appended, in force from receipt."""
    _run(
        db,
        """CREATE TABLE first_guesses (
            shop_id TEXT NOT NULL, job_id TEXT NOT NULL, cause TEXT NOT NULL, by_person TEXT NOT NULL,
            at TEXT NOT NULL, PRIMARY KEY (shop_id, job_id), FOREIGN KEY (shop_id, job_id) REFERENCES jobs,
            FOREIGN KEY (shop_id, by_person) REFERENCES people
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE shop_tables (
            shop_id TEXT NOT NULL REFERENCES shops, noun TEXT NOT NULL CHECK (noun IN ('steps', 'causes')),
            number INTEGER NOT NULL, body TEXT NOT NULL, in_force_from TEXT NOT NULL, by_person TEXT NOT NULL,
            PRIMARY KEY (shop_id, noun, number), FOREIGN KEY (shop_id, by_person) REFERENCES people
        ) STRICT, WITHOUT ROWID""",
    )


def migrate(path: Path | str) -> list[str]:
    """Bring the file to the newest schema; the names of the steps that were taken."""
    db = open_database(path)
    try:
        steps = [step.name for step in book.pending(db)]
        book.apply(db)
        return steps
    finally:
        db.close()


def pending(db: Database) -> list[str]:
    """Names of the steps that this file still lacks."""
    return [step.name for step in book.pending(db)]


def unknown(db: Database) -> list[str]:
    """Names of steps that this file has taken and this version does not know."""
    known = {step.name for step in book.pending(Database(memory=True))}
    return [step.name for step in book.applied(db) if step.name not in known]
