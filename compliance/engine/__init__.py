"""The pure core: which papers, which steps, which days, and why."""
