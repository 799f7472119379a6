module ratewright

go 1.26

require (
	github.com/jonas-p/go-shp v0.1.1 // indirect
	github.com/paulmach/orb v0.14.0 // indirect
	github.com/peterstace/simplefeatures v0.59.0 // indirect
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	github.com/stretchr/testify v1.12.1 // indirect
	go.yaml.in/yaml/v3 v3.0.6 // indirect
	golang.org/x/sys v0.30.0 // indirect
	golang.org/x/tools v0.30.0 // indirect
	gonum.org/v1/gonum v0.17.0 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)
