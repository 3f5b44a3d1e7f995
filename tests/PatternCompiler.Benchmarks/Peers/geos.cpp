// GEOS (Debian package libgeos-dev, C interface). usage: geos FILE RUNS EVENODD; union of valid rings, holes by orientation
#include "common.hpp"
#include <cstdarg>
#include <geos_c.h>

static void ignore(const char*, ...) {}

int main(int, char** argv)
{
    auto rings = read_rings(argv[1]);
    int runs = std::atoi(argv[2]);
    initGEOS(ignore, ignore);
    auto make_ring = [](const Ring& ring) {
        auto* s = GEOSCoordSeq_create((unsigned)ring.size() + 1, 2);
        for (size_t i = 0; i <= ring.size(); i++) GEOSCoordSeq_setXY(s, (unsigned)i, (double)ring[i % ring.size()].first, (double)ring[i % ring.size()].second);
        return GEOSGeom_createLinearRing(s);
    };
    auto is_hole = [](const Ring& ring) {
        __int128 area = 0;
        for (size_t i = 0; i < ring.size(); i++) {
            auto a = ring[i], b = ring[(i + 1) % ring.size()];
            area += (__int128)a.first * b.second - (__int128)a.second * b.first;
        }
        return area < 0;
    };
    if (std::atoi(argv[3])) {
        // A self-crossing ring is no valid polygon: node it and build the faces instead.
        measure("union", 1, [&] { auto* line = make_ring(rings[0]); auto* noded = GEOSNode(line); const GEOSGeometry* g[] = {noded}; auto* faces = GEOSPolygonize(g, 1); double n = GEOSGetNumGeometries(faces); GEOSGeom_destroy(faces); GEOSGeom_destroy(noded); GEOSGeom_destroy(line); return n; });
        return 0;
    }
    std::vector<GEOSGeometry*> polygons;
    for (size_t i = 0; i < rings.size();) {
        auto* shell = make_ring(rings[i++]);
        std::vector<GEOSGeometry*> holes;
        while (i < rings.size() && is_hole(rings[i])) holes.push_back(make_ring(rings[i++]));
        polygons.push_back(GEOSGeom_createPolygon(shell, holes.data(), (unsigned)holes.size()));
    }
    auto* all = GEOSGeom_createCollection(GEOS_MULTIPOLYGON, polygons.data(), (unsigned)polygons.size());
    GEOSGeometry* merged = nullptr;
    measure("union", runs, [&] { merged = GEOSUnaryUnionPrec(all, 1.0); return (double)GEOSGetNumGeometries(merged); });
    for (int d : {20, -20})
        measure(d > 0 ? "grow" : "shrink", 1, [&] { auto* out = GEOSBufferWithStyle(merged, d, 8, GEOSBUF_CAP_FLAT, GEOSBUF_JOIN_MITRE, 5); double area; GEOSArea(out, &area); GEOSGeom_destroy(out); return area; });
    print_memory();
}
