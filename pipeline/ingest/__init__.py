"""From any export to one row per response, or a rejected row with its reason."""
