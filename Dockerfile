# The service as a static binary in an empty image: it has no shell, does not run as
# root, and writes no file. To build and run it:
#
#   docker build --build-arg VERSION=1.0.0 -t resawd .
#   docker run --read-only -p 127.0.0.1:8080:8080 resawd serve --open
#
# It listens on every address of the container, so it must be told who may ask:
# --open for everybody, or --keys (RESAWD_KEYS) with the path of a keys file.

FROM golang:1.26 AS build
WORKDIR /src
# The modules have a layer of their own, reused as long as go.mod and go.sum are the same.
COPY go.mod go.sum ./
RUN go mod download
COPY . .
ARG VERSION=dev
RUN CGO_ENABLED=0 go build -trimpath -ldflags="-s -w -X main.version=$VERSION" -o /resawd ./cmd/resawd
# The list of its parts, where scanners look for it in images. It has no timestamp, so
# that the same program has the same list, to the byte.
RUN GOFLAGS=-trimpath CGO_ENABLED=0 go run github.com/CycloneDX/cyclonedx-gomod/cmd/cyclonedx-gomod@v1.9.0 \
      bin -json -noserial -std -version "$VERSION" -output /parts.json /resawd && \
    while IFS= read -r line; do case $line in *'"timestamp"'*) ;; *) printf '%s\n' "$line" ;; esac; done </parts.json >/resawd.cdx.json

FROM scratch
ARG VERSION=dev
ARG REVISION=unknown
LABEL org.opencontainers.image.title="resawd" \
      org.opencontainers.image.description="Calculations for resawing hardwood into thin leaves on a bandsaw: what to set, turn and cut, over HTTP" \
      org.opencontainers.image.licenses="MIT" \
      org.opencontainers.image.version="$VERSION" \
      org.opencontainers.image.revision="$REVISION"
COPY --from=build /resawd /resawd
COPY --from=build /resawd.cdx.json /usr/share/sbom/resawd.cdx.json
USER 65532:65532
ENV RESAWD_LISTEN=:8080
EXPOSE 8080
HEALTHCHECK --interval=30s --timeout=3s --start-period=2s CMD ["/resawd", "healthcheck"]
ENTRYPOINT ["/resawd"]
CMD ["serve"]
