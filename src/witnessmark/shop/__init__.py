"""The shop: people, hours, rates, rooms, air, cupboard."""
