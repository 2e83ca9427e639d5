"""Everything about soft-plastic baits: requests, styles, strands, measures, checks, solids, files, records and jobs."""
