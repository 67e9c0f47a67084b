"""Today, reports and the landholder's page."""
