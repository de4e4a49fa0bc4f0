"""Pictures of one support, as SVG and PNG."""
