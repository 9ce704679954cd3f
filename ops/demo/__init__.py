"""An invented shop with 18 months of work, made by a seeded simulation, so that the right answers are known."""
