"""An invented course with known truth, for the demonstration and for measuring."""
