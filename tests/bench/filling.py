"""Jobs of a wanted size: rows put in past the server, as if people had worked there for years."""

from typing import Any

from tests.faults.database import Database

_ISSUES = """
INSERT INTO issue (id, company_id, job_id, rev, number, unit_id, system_id, category, words, action, evidence, stops,
  opens_circuit, who_must_act, state, raised_at, raised_by_name, times_reopened, fixed_by_person_ids)
SELECT gen_random_uuid(), unit.company_id, unit.job_id, job.rev + n, 1000 + n, unit.id, unit.system_id, 'leak',
  'oil trace at flare nut ' || n, '', '', '["refrigerant"]', false, 'technician', 'open', now(), 'Ben', 0, '[]'
FROM unit JOIN job ON job.id = unit.job_id, generate_series(1, %(rows)s) n
WHERE unit.id = %(unit_id)s
"""
_HEAD = "UPDATE job SET rev = rev + %(rows)s WHERE id = %(job_id)s"
_COUNT = "SELECT sum(n) AS n FROM ({}) counted"
_TABLES = ("system", "unit", "visit", "step", "issue", "issue_event", "reading", "photo", '"limit"')


def fill(database: Database, *, site: dict[str, Any], rows: int) -> None:
    """Until the job has as many rows as wanted; each has a revision of its own."""
    counts = " UNION ALL ".join(f"SELECT count(*) AS n FROM {table} WHERE job_id = %(job_id)s" for table in _TABLES)
    connection = database.connect()
    with connection.cursor() as cursor:
        cursor.execute(_COUNT.format(counts), site)
        there = int(cursor.fetchone()[0]) + 1  # and the job itself
        wanted = {**site, "rows": rows - there}
        cursor.execute(_ISSUES, wanted)
        cursor.execute(_HEAD, wanted)
        cursor.execute("VACUUM ANALYZE issue")  # as the database does by itself within minutes
    connection.close()
