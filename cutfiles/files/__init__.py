"""Files: the table of formats, their writers and readers, compared and folded."""
