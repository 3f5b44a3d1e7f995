// Clipper 6 (Debian package libpolyclipping-dev). usage: clipper6 FILE RUNS EVENODD
#include "common.hpp"
#include <polyclipping/clipper.hpp>
using namespace ClipperLib;

int main(int, char** argv)
{
    auto rings = read_rings(argv[1]);
    int runs = std::atoi(argv[2]);
    PolyFillType rule = std::atoi(argv[3]) ? pftEvenOdd : pftNonZero;
    Paths paths;
    for (auto& ring : rings) {
        Path path;
        for (auto& p : ring) path.emplace_back(p.first, p.second);
        paths.push_back(std::move(path));
    }
    Paths merged;
    measure("union", runs, [&] { Clipper c; c.AddPaths(paths, ptSubject, true); merged.clear(); c.Execute(ctUnion, merged, rule, rule); return (double)merged.size(); });
    if (!std::atoi(argv[3]))
        for (int d : {20, -20})
            measure(d > 0 ? "grow" : "shrink", runs, [&] { ClipperOffset o(5); o.AddPaths(merged, jtMiter, etClosedPolygon); Paths out; o.Execute(out, d); return (double)out.size(); });
    print_memory();
}
