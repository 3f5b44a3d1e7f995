// Reading of workload files and timing, shared by the programs that measure other libraries.
// A workload file holds one ring a line, "x y x y ...", in whole nanometres.
#pragma once
#include <algorithm>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <functional>
#include <string>
#include <utility>
#include <vector>

using Ring = std::vector<std::pair<int64_t, int64_t>>;

inline std::vector<Ring> read_rings(const char* path)
{
    std::vector<Ring> rings;
    std::ifstream file(path);
    std::string line;
    while (std::getline(file, line)) {
        Ring ring;
        const char* p = line.c_str();
        char* end;
        for (;;) {
            int64_t x = std::strtoll(p, &end, 10);
            if (end == p) break;
            p = end;
            int64_t y = std::strtoll(p, &end, 10);
            p = end;
            ring.emplace_back(x, y);
        }
        if (!ring.empty()) rings.push_back(std::move(ring));
    }
    return rings;
}

// Prints "name seconds result": the best of the runs.
inline void measure(const char* name, int runs, const std::function<double()>& work)
{
    double best = 1e99, result = 0;
    for (int i = 0; i < runs; i++) {
        auto start = std::chrono::steady_clock::now();
        result = work();
        best = std::min(best, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    }
    std::printf("%s %.6f %.17g\n", name, best, result);
    std::fflush(stdout);
}

// The largest memory held, from proc(5): what getrusage tells would count the starting program's, too.
inline void print_memory()
{
    std::ifstream status("/proc/self/status");
    std::string line;
    while (std::getline(status, line))
        if (line.rfind("VmHWM:", 0) == 0) std::printf("peak_kib %ld 0\n", std::atol(line.c_str() + 6));
}
