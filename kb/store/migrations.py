"""The steps that lead any older database to today's: append only, none edited once shipped."""

from sqlite_utils import Database, Migrations

MIGRATIONS = Migrations("kb")


@MIGRATIONS()
def m001_question_log(db: Database) -> None:
    """Questions as they came in, the replies sent, and the keeper's passphrase."""
    db.table("questions").create(
        {
            "id": int,
            "place": str,
            "fingerprint": str,
            "text": str,
            "asked_by": str,
            "link": str,
            "asked_at": str,
            "logged_at": str,
            "times": int,
            "state": str,
            "verdict": str,
            "article": str,
            "urgent": int,
        },
        pk="id",
        not_null={"place", "fingerprint", "text", "logged_at", "times", "state", "urgent"},
        strict=True,
    )
    db.table("questions").create_index(["fingerprint"], unique=True)
    db.table("questions").create_index(["state", "urgent", "logged_at"])
    db.table("replies").create(
        {"id": int, "question": int, "text": str, "article": str, "sent_at": str},
        pk="id",
        not_null={"question", "text", "sent_at"},
        foreign_keys=[("question", "questions", "id")],
        strict=True,
    )
    db.table("replies").create_index(["question"])
    db.table("keeper").create(
        {"id": int, "passphrase_hash": str, "set_at": str},
        pk="id",
        not_null={"passphrase_hash", "set_at"},
        strict=True,
    )


@MIGRATIONS()
def m002_wordings(db: Database) -> None:
    """Questions confirmed as asking for an article; an id is never used again."""
    db.execute("""
        create table wordings (
            id integer primary key autoincrement,
            article text not null,
            text text not null,
            words text not null unique,
            question integer references questions (id),
            how text not null,
            added_at text not null
        ) strict
    """)
    db.table("wordings").create_index(["question"])


@MIGRATIONS()
def m003_groups(db: Database) -> None:
    """Groups of questions that ask the same; their counts are kept by the database itself."""
    db.table("groups").create(
        {
            "id": int,
            "name": str,
            "named_by": int,
            "article": str,
            "first_at": str,
            "last_at": str,
            "counted": int,
            "asked": int,
            "waiting": int,
            "waiting_strong": int,
            "waiting_none": int,
        },
        pk="id",
        not_null={
            "name", "first_at", "last_at", "counted", "asked",
            "waiting", "waiting_strong", "waiting_none",
        },
        strict=True,
    )  # fmt: skip
    for waiting in ("waiting", "waiting_strong", "waiting_none"):
        db.execute(f"create index groups_{waiting} on groups (asked) where {waiting} > 0")
    db.execute("create index groups_asked on groups (asked)")
    db.execute("create index groups_named_by on groups (named_by)")
    db.execute("alter table questions add column group_id integer references groups (id)")
    db.table("questions").create_index(["group_id", "state"])
    db.table("questions").create_index(["group_id", "place"])
    db.execute(
        "create table representatives (id integer primary key autoincrement,"
        " group_id integer not null references groups (id),"
        " question integer not null unique references questions (id), shape blob) strict"
    )
    db.table("representatives").create_index(["group_id"])
    leave, join = (_counting(row, sign) for row, sign in (("old", "-"), ("new", "+")))
    watched = "group_id, state, verdict, times, logged_at"
    db.execute(f"create trigger question_joins after insert on questions begin {join} end")
    db.execute(
        f"create trigger question_moves after update of {watched} on questions"
        f" begin {leave} {join} end"
    )
    db.execute(f"create trigger question_leaves after delete on questions begin {leave} end")


def _counting(row: str, sign: str) -> str:
    """The statement that counts a question into its group or out of it."""
    is_open = f"({row}.state = 'open')"
    moment = f"coalesce({row}.asked_at, {row}.logged_at)"
    dates = f", first_at = min(first_at, {moment}), last_at = max(last_at, {moment})"
    return (
        f"update groups set counted = counted {sign} 1, asked = asked {sign} {row}.times,"
        f" waiting = waiting {sign} {is_open},"
        f" waiting_strong = waiting_strong {sign} ({is_open} and {row}.verdict is 'strong'),"
        f" waiting_none = waiting_none {sign} ({is_open} and {row}.verdict is 'none')"
        f"{dates if sign == '+' else ''} where id = {row}.group_id;"
    )


@MIGRATIONS()
def m004_places(db: Database) -> None:
    """Places with settings of their own, marks that can be undone, drafts, what asks nothing."""
    db.execute("alter table questions add column asks integer not null default 1")
    for key in ("article", "group_id"):
        db.table("questions").create_index(["state", "urgent", "verdict", "asks", key, "id"])
    db.table("places").create(
        {"name": str, "columns": str, "longest_reply": int, "greeting": str},
        pk="name",
        not_null={"columns"},
        strict=True,
    )
    db.table("acts").create(
        {"id": int, "what": str, "made_at": str, "undone_at": str},
        pk="id",
        not_null={"what", "made_at"},
        strict=True,
    )
    db.table("marks").create(
        {"id": int, "act": int, "question": int, "before": str, "after": str, "reply": int},
        pk="id",
        not_null={"act", "question", "before", "after"},
        foreign_keys=[
            ("act", "acts", "id"),
            ("question", "questions", "id"),
            ("reply", "replies", "id"),
        ],
        strict=True,
    )
    for columns in (["act"], ["question"], ["reply"]):
        db.table("marks").create_index(columns)
    db.table("drafts").create(
        {"slug": str, "group_id": int, "made_at": str},
        pk="slug",
        not_null={"group_id", "made_at"},
        strict=True,
    )
    db.table("judging").create(
        {"id": int, "mark": str, "reached": int, "end": int},
        pk="id",
        not_null={"mark", "reached", "end"},
        strict=True,
    )


@MIGRATIONS()
def m005_recordings(db: Database) -> None:
    """Recordings, what is to be said in them and when, and which questions that answers."""
    db.table("recordings").create(
        {
            "id": int,
            "title": str,
            "planned_for": str,
            "link": str,
            "place": str,
            "published_on": str,
            "made_at": str,
        },
        pk="id",
        not_null={"title", "made_at"},
        strict=True,
    )
    db.table("run_items").create(
        {
            "id": int,
            "recording": int,
            "position": int,
            "title": str,
            "article": str,
            "second": int,
        },
        pk="id",
        not_null={"recording", "position"},
        foreign_keys=[("recording", "recordings", "id")],
        strict=True,
    )
    db.table("run_items").create_index(["recording", "position"])
    db.table("run_items").create_index(["article"])
    db.table("run_questions").create(
        {"item": int, "question": int},
        pk=("item", "question"),
        foreign_keys=[("item", "run_items", "id"), ("question", "questions", "id")],
        strict=True,
    )
    db.table("run_questions").create_index(["question"])
    db.table("revision").create({"id": int, "number": int}, pk="id", strict=True)
    db.table("revision").insert({"id": 1, "number": 0})
    for columns in (["article", "asked_at", "logged_at"], ["asked_by", "place"], ["link"]):
        db.table("questions").create_index(columns, if_not_exists=True)


@MIGRATIONS()
def m006_materials(db: Database) -> None:
    """What the keeper uses and where it is sold, country by country."""
    db.table("materials").create(
        {"id": int, "name": str, "plain": str, "aliases": str, "remark": str, "articles": str},
        pk="id",
        not_null={"name", "plain", "aliases", "remark", "articles"},
        strict=True,
    )
    db.table("materials").create_index(["plain"], unique=True)
    db.table("material_links").create(
        {"id": int, "material": int, "country": str, "shop": str, "link": str, "earns": int},
        pk="id",
        not_null={"material", "country", "shop", "link", "earns"},
        foreign_keys=[("material", "materials", "id")],
        strict=True,
    )
    db.table("material_links").create_index(["material"])


@MIGRATIONS()
def m007_water_book(db: Database) -> None:
    """The water book: the keeper's systems, what was entered for them, and what entries were."""
    db.table("systems").create(
        {
            "id": int,
            "name": str,
            "volume_l": float,
            "fish_tank_l": float,
            "temp_c": float,
            "protein_percent": float,
            "target_ph": float,
            "target_alkalinity": float,
            "floor_ph": float,
            "floor_alkalinity": float,
            "top_up_alkalinity": float,
            "feed_g_day": float,
            "base": str,
            "purity_percent": float,
            "version": int,
            "made_at": str,
        },
        pk="id",
        not_null={"name", "volume_l", "version", "made_at"},
        strict=True,
    )
    db.table("systems").create_index(["name"], unique=True)
    db.table("entries").create(
        {
            "id": int,
            "system": int,
            "batch": str,
            "part": str,
            "kind": str,
            "at": str,
            "quantity": str,
            "value": float,
            "unit": str,
            "written": str,
            "substance": str,
            "alkalinity": float,
            "grams": float,
            "note": str,
            "made_at": str,
            "changed_at": str,
            "removed_at": str,
        },
        pk="id",
        not_null={"system", "batch", "part", "kind", "at", "quantity", "made_at"},
        foreign_keys=[("system", "systems", "id")],
        strict=True,
    )
    db.table("entries").create_index(["system", "at"])
    db.table("entries").create_index(["system", "quantity", "at"])
    db.table("entries").create_index(["system", "batch", "part"], unique=True)
    db.table("entry_changes").create(
        {"id": int, "entry": int, "what": str, "before": str, "changed_at": str},
        pk="id",
        not_null={"entry", "what", "before", "changed_at"},
        foreign_keys=[("entry", "entries", "id")],
        strict=True,
    )
    db.table("entry_changes").create_index(["entry"])


@MIGRATIONS()
def m008_limits(db: Database) -> None:
    """What an address, known only by a mark, has done lately; and the desks that are open."""
    db.table("limits").create(
        {"id": int, "what": str, "who": str, "at": float},
        pk="id",
        not_null={"what", "who", "at"},
        strict=True,
    )
    db.table("limits").create_index(["what", "who", "at"])
    db.table("limits").create_index(["at"])
    db.table("open_desks").create(
        {"secret_hash": str, "until": float}, pk="secret_hash", not_null={"until"}, strict=True
    )
