"""What checks measure when a constant is wrong: another Python, whose ``sim`` is a copy with that number changed."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from wrong.planting import Wrong, plant

TESTS = Path(__file__).parents[1]
LONGEST_S = 600.0


def measured_with(wrong: Wrong, names: list[str], into: Path) -> dict[str, dict[str, Any]]:
    """Return for each named check what the report says of it when a constant is wrong."""
    planted = plant(wrong.changes(), into)
    path = os.pathsep.join([str(planted), str(TESTS)])
    environment = {**os.environ, "PYTHONPATH": path, "PYTHONDONTWRITEBYTECODE": "1", "PYTHONPROFILEIMPORTTIME": ""}
    done = subprocess.run(
        [sys.executable, "-m", "published.report", "--exact", *names],
        env=environment, cwd=into, capture_output=True, text=True, timeout=LONGEST_S, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    rows = [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]
    assert all(row["sim"].startswith(str(planted)) for row in rows), "the copy was not imported"
    broken = [f"{row['what']}: {row['measured']}" for row in rows if row["holds"] is None]
    assert broken == [], "could not be measured with the wrong constant"
    return {row["what"]: row for row in rows}
