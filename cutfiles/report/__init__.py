"""What people look at: pictures, and the tables of a made support."""
