module endpin

go 1.26
