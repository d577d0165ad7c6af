"""PDFs of service records: each is a job with a process of its own, and limits of time and memory."""
