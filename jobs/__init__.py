"""Who, where and when: customers, installations, plans, jobs, visits, services and mail."""
