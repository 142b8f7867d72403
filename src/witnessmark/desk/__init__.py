"""The pages and the API: asks a room, shows its answer; no arithmetic here."""
