// Boost.Polygon (Debian package libboost-dev). usage: boost_polygon FILE RUNS EVENODD MANHATTAN
#include "common.hpp"
#include <boost/polygon/polygon.hpp>
namespace bp = boost::polygon;
using namespace bp::operators;
using Point = bp::point_data<int>;
using Polygon = bp::polygon_data<int>;
using WithHoles = bp::polygon_with_holes_data<int>;

int main(int, char** argv)
{
    auto rings = read_rings(argv[1]);
    int runs = std::atoi(argv[2]);
    bool manhattan = std::atoi(argv[4]) != 0;
    std::vector<Polygon> polygons;
    std::vector<bool> holes;
    std::vector<bp::rectangle_data<int>> boxes;  // the rectilinear workloads hold rectangles only
    for (auto& ring : rings) {
        std::vector<Point> points;
        __int128 area = 0;
        for (size_t i = 0; i < ring.size(); i++) {
            auto a = ring[i], b = ring[(i + 1) % ring.size()];
            area += (__int128)a.first * b.second - (__int128)a.second * b.first;
            points.emplace_back((int)a.first, (int)a.second);
        }
        polygons.emplace_back(points.begin(), points.end());
        holes.push_back(area < 0);
        if (manhattan) boxes.emplace_back((int)ring[0].first, (int)ring[0].second, (int)ring[2].first, (int)ring[2].second);
    }
    if (manhattan) {
        auto fill = [&](bp::polygon_90_set_data<int>& set) {
            for (auto& p : boxes) set.insert(p);
        };
        measure("union", runs, [&] { bp::polygon_90_set_data<int> set; fill(set); std::vector<WithHoles> out; set.get(out); return (double)out.size(); });
        measure("trapezoids", runs, [&] { bp::polygon_90_set_data<int> set; fill(set); std::vector<bp::rectangle_data<int>> out; set.get_rectangles(out); return (double)out.size(); });
        bp::polygon_90_set_data<int> merged; fill(merged); merged.clean();
        for (int d : {20, -20})
            measure(d > 0 ? "grow" : "shrink", runs, [&] { auto set = merged; set.resize(d, d, d, d); std::vector<WithHoles> out; set.get(out); return (double)out.size(); });
    } else {
        auto fill = [&](bp::polygon_set_data<int>& set) {
            for (size_t i = 0; i < polygons.size(); i++) set.insert(polygons[i], holes[i]);
        };
        measure("union", runs, [&] { bp::polygon_set_data<int> set; fill(set); std::vector<WithHoles> out; set.get(out); return (double)out.size(); });
        measure("trapezoids", runs, [&] { bp::polygon_set_data<int> set; fill(set); std::vector<Polygon> out; set.get_trapezoids(out, bp::HORIZONTAL); return (double)out.size(); });
        bp::polygon_set_data<int> merged; fill(merged); merged.clean();
        measure("from_merged", runs, [&] { auto set = merged; std::vector<Polygon> out; set.get_trapezoids(out, bp::HORIZONTAL); return (double)out.size(); });
        for (int d : {20, -20})
            measure(d > 0 ? "grow" : "shrink", runs, [&] { auto set = merged; set.resize(d); std::vector<WithHoles> out; set.get(out); return (double)out.size(); });
    }
    print_memory();
}
