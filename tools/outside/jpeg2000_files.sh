#!/bin/sh
# Makes the small JPEG 2000 streams in air/grib2/jpeg2000/testdata. Those without
# loss hold picture.pgm; of the others OpenJPEG's decoding is kept beside them.
#
# Usage: sh tools/outside/jpeg2000_files.sh FOLDER
# Needs the Debian package libopenjp2-tools.
set -e
cd "$1"

# A smooth invented picture with an edge, 61 by 47, 12 bits.
awk 'BEGIN { print "P2\n61 47\n4095"
  for (y = 0; y < 47; y++) for (x = 0; x < 61; x++) {
    v = 2000 + 900 * sin(x / 7) * cos(y / 5) + 3 * ((x * 7 + y * 13) % 11)
    if (x > 40 && y > 20) v += 1000
    print int(v) } }' > picture.txt
awk 'NR == 1 { print "P5"; next } NR <= 3 { print } ' picture.txt > picture.pgm
tail -n +4 picture.txt | awk '{ printf "%02x%02x", int($1 / 256), $1 % 256 }' | xxd -r -p >> picture.pgm

make() {
  name=$1
  shift
  opj_compress -i picture.pgm -o "$name.j2k" "$@" > /dev/null
}
lossy() {
  make "$@"
  opj_decompress -i "$1.j2k" -o "$1.pgm" > /dev/null
}
make plain
make levels-none -n 1
make blocks-small -b 4,8
make precincts -c '[32,32],[16,16],[16,16]' -p RLCP
make layers -r 20,8,1 -p LRCP -SOP -EPH
make tiles -t 23,19 -p PCRL -n 3
make tiles-offset -d 5,3 -T 2,1 -t 16,32 -p CPRL -n 4 -c '[16,16],[8,8]'
make position -c '[16,16],[8,8],[8,8]' -p RPCL
make bypass -M 1
make reset-terminate -M 6
make causal -M 8
make bypass-terminate -M 5 -b 16,16
make all-styles -M 63
lossy lossy -I -r 6
lossy lossy-tiles -I -t 32,32 -n 4 -r 4
lossy cut-quality -r 10
rm picture.txt
