"""Treatment: findings and wishes go in; steps in order come out, each with its reason and way back."""
