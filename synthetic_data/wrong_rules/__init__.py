"""The wrong rules that are planted, worked out with own arithmetic, one file per skill."""
