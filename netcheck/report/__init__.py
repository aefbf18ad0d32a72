"""What a review found, as text for people and as JSON for programs."""
