"""Many supports from one list: made, nested on shared film, told in tables and pages."""
