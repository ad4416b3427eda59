"""What leaves the program: pictures, tables and reports from results and display lists."""
