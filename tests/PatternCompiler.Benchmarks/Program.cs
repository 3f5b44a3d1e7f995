using BenchmarkDotNet.Running;
using PatternCompiler.Benchmarks.BackEnds;
using PatternCompiler.Benchmarks.Geometry;
using PatternCompiler.Benchmarks.Jobs;
using PatternCompiler.Units;

// "geometry [workload …]" times our geometry, "peers FOLDER [workload …]" the other libraries with the programs in
// FOLDER (Peers/ beside this file), "phases workload …" the steps of the sweep; anything else goes to BenchmarkDotNet.
if (args is ["geometry", .. var names])
{
    SideBySide.Run(names.Length > 0 ? names : Workloads.Names, repeats: 5);
    SideBySide.RunOffsets(names.Length > 0 ? names : ["w2", "w3", "w4"], repeats: 5);
    return;
}

if (args is ["peers", var folder, .. var workloads])
{
    string[] chosen = workloads.Length > 0 ? workloads : Workloads.Names;
    SideBySide.Run(chosen, repeats: 5);
    SideBySide.RunOffsets([.. chosen.Intersect(["w2", "w3", "w4"])], repeats: 5);
    SideBySide.RunPeers(chosen, repeats: 3, folder);
    return;
}

if (args is ["phases", .. var phases])
{
    Phases.Run(phases);
    return;
}

// "scaling [workload …]" shows how time and memory grow; "w2x100" needs a machine with 24 GB.
if (args is ["scaling", .. var sizes])
{
    Scaling.Run(sizes.Length > 0 ? sizes : Scaling.Names, threads: 1);
    return;
}

// "batch [number]" times a batch of small jobs.
if (args is ["batch", .. var numbers])
{
    BatchTimes.Run(numbers is [var number] && NumberText.TryParseInteger(number, out long jobs) ? (int)jobs : 1000);
    return;
}

// "pipe EXECUTABLE [side]" emits a raster through a pipe, and copies the same bytes through it.
if (args is ["pipe", var executable, .. var side])
{
    PipeRate.Run(executable, side is [var points] && NumberText.TryParseInteger(points, out long wanted) ? (int)wanted : 4096);
    return;
}

// "growth EXECUTABLE [side …]" runs the commands on 10^4, 10^5 and 10^6 figures; a side of 3162 makes it 10^7.
if (args is ["growth", var grown, .. var numbersAlong])
{
    Growth.Run(Path.GetFullPath(grown), numbersAlong is [] ? [100, 316, 1000] : [.. numbersAlong.Select(one => NumberText.TryParseInteger(one, out long along) ? (int)along : 0)]);
    return;
}

// "page PAGE.html" tells when a page that plays stands in a headless Chromium.
if (args is ["page", var page])
{
    await PageTimes.Run(page, repeats: 9);
    return;
}

BenchmarkSwitcher.FromAssembly(typeof(Program).Assembly).Run(args);
