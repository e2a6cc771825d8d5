module resawd

go 1.26
