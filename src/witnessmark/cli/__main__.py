"""`python -m witnessmark.cli`, where the command itself is not on the path."""

from witnessmark.cli import main

main()
