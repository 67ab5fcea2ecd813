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
