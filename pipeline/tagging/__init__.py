"""From read answers and predicted wrong answers to tags."""
