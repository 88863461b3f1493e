"""One readable story for the demo: invented people, firms, sites and equipment."""
