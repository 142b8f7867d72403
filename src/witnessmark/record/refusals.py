"""The triggers by which the database itself refuses to change or remove what is kept."""

KEPT = {
    "record_revision": "a revision is never changed: keep a new one",
    "record_daybookentry": "an entry is never changed: add one that corrects it",
}
ACTS = ("UPDATE", "DELETE")


def trigger(table: str, act: str) -> str:
    return f"{table}_refuses_{act.lower()}"


def sqlite_triggers() -> list[str]:
    return [
        f"CREATE TRIGGER IF NOT EXISTS {trigger(table, act)} BEFORE {act} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, '{says}'); END"
        for table, says in KEPT.items()
        for act in ACTS
    ]
