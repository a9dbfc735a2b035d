"""Pages and charts: they only draw what the statistics hand them."""
