"""Reading: typed text to exact values, and the verdict on them."""
