module pappus

go 1.26
