"""What is asked for: mixes, substitutes, outlets, box shares, and when each could first be met."""
