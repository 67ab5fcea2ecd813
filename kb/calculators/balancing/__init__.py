"""What the calculators of feed, wastes, filter and plants share; there are no calculators here."""
