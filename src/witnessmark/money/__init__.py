"""Money: hours and materials go in; cost, floor and what a piece clears come out."""
