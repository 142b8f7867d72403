"""Writes docs/accuracy.md from the scripts that measure: `python bench/accuracy.py`."""

import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent
MEASURES = ("accuracy_dates.py", "accuracy_wood_finish.py")
HEAD = """# How far it can be trusted

Written by `python bench/accuracy.py`; nothing here is typed by hand. What the program tells of dates, woods and old
finishes, measured on pieces whose answer is known, and on pieces invented by chance.
"""

if __name__ == "__main__":
    parts = [HEAD]
    for name in MEASURES:
        done = subprocess.run([sys.executable, HERE / name], capture_output=True, text=True, check=True)
        parts.append(done.stdout.strip() + "\n")
    (HERE.parent / "docs" / "accuracy.md").write_text("\n".join(parts), "utf-8")
