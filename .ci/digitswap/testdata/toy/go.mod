module toy

go 1.26
