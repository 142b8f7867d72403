"""The plan: survey, shop and day book go in, a piece's plan and the shop's calendar come out."""
