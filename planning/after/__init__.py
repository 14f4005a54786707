"""What happened, from what was noted: counts, frames, clocks, planned against actual. Pure."""
