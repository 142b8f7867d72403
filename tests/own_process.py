"""A shop in a process of its own, for tests that kill it or look on while another works in it."""

import os
import subprocess
import sys
from pathlib import Path

from pieces import DEMO

_BEGINS = "import django\ndjango.setup()\n"
MIGRATED = "from django.core.management import call_command\ncall_command('migrate', verbosity=0)\n"


def process(folder: Path, script: str, **more: str) -> "subprocess.Popen[str]":
    """Runs a script on the shop in a folder; its output can be read. Use it in a `with`."""
    paths = os.pathsep.join([str(DEMO.parent / "src"), str(DEMO.parent / "tests")])
    ours = {"WITNESSMARK_DATA": str(folder), "DJANGO_SETTINGS_MODULE": "witnessmark.desk.settings", "PYTHONPATH": paths}
    return subprocess.Popen(
        [sys.executable, "-c", _BEGINS + script], env=os.environ | ours | more, stdout=subprocess.PIPE, text=True
    )


def witnessmark(*said: str, typed: str = "") -> "subprocess.CompletedProcess[str]":
    """Runs the command."""
    ours = {"PYTHONPATH": str(DEMO.parent / "src")}
    asked = [sys.executable, "-m", "witnessmark.cli", *said]
    return subprocess.run(asked, env=os.environ | ours, input=typed, capture_output=True, text=True, timeout=120)
