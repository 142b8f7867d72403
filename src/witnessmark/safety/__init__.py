"""Safety: a task (material, amount, minutes, room) goes in; cautions, air, fire and law come out."""
