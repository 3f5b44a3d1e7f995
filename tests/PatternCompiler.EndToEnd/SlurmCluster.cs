using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;

namespace PatternCompiler.EndToEnd;

/// <summary>A cluster of one machine: Slurm's controller, its daemon for the node and munge, all run by the user of the tests in a folder of their own.</summary>
internal sealed class SlurmCluster : IDisposable
{
    // The scheduler looks for work, and its client for the end, every few seconds only.
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(5);

    private readonly WorkFolder folder = new();
    private readonly List<Process> daemons = [];

    public SlurmCluster()
    {
        // Munge wants its key for itself and its socket for all.
        folder.With("munge/key", RandomNumberGenerator.GetBytes(128));
        Executable.Shell(folder.Path, "chmod 711 . munge && chmod 600 munge/key").Expect(0);
        folder.With(
            "slurm.conf",
            $"""
            ClusterName=lab
            SlurmctldHost=localhost
            SlurmUser={Environment.UserName}
            SlurmdUser={Environment.UserName}
            AuthType=auth/munge
            AuthInfo=socket={folder["munge/socket"]}
            SlurmctldPort={FreePort()}
            SlurmdPort={FreePort()}
            StateSaveLocation={folder.Path}
            SlurmdSpoolDir={folder["spool"]}
            SlurmctldPidFile={folder["slurmctld.pid"]}
            SlurmdPidFile={folder["slurmd.pid"]}
            SlurmctldLogFile={folder["slurmctld.log"]}
            SlurmdLogFile={folder["slurmd.log"]}
            ProctrackType=proctrack/pgid
            TaskPlugin=task/none
            SelectType=select/cons_tres
            SelectTypeParameters=CR_Core
            MpiDefault=none
            MailProg=/bin/true
            SlurmdParameters=config_overrides
            ReturnToService=2
            NodeName=lab-1 NodeHostname=localhost CPUs=2
            PartitionName=all Nodes=lab-1 Default=YES

            """);
        Start(
            "munged", "--foreground", $"--key-file={folder["munge/key"]}", $"--socket={folder["munge/socket"]}", $"--pid-file={folder["munge/pid"]}",
            $"--log-file={folder["munge/log"]}", $"--seed-file={folder["munge/seed"]}");
        WaitFor("munge", () => File.Exists(folder["munge/socket"]));
        Start("slurmctld", "-D", "-c", "-f", folder["slurm.conf"]);
        Start("slurmd", "-D", "-N", "lab-1", "-f", folder["slurm.conf"]);
        WaitFor("slurmd", () => Shell(folder.Path, "sinfo --noheader --format=%T").Output == "idle\n");
    }

    /// <summary>Runs a line of shell that knows the cluster.</summary>
    public Outcome Shell(string workFolder, string line) => Executable.Shell(workFolder, $"export SLURM_CONF='{folder["slurm.conf"]}'; {line}", Patience);

    public void Dispose()
    {
        foreach (Process daemon in Enumerable.Reverse(daemons))
        {
            Executable.Signal(daemon, "TERM");
            if (!daemon.WaitForExit(TimeSpan.FromSeconds(10)))
            {
                daemon.Kill(entireProcessTree: true);
                daemon.WaitForExit();
            }

            daemon.Dispose();
        }

        folder.Dispose();
    }

    private static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }

    private static void WaitFor(string what, Func<bool> isThere)
    {
        var watch = Stopwatch.StartNew();
        while (!isThere())
        {
            Assert.True(watch.Elapsed < Patience, $"{what} did not start");
            Thread.Sleep(100);
        }
    }

    /// <summary>What daemons say stands in their logs, too.</summary>
    private void Start(string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true };
        start.Environment["SLURM_CONF"] = folder["slurm.conf"];
        Process daemon = Process.Start(start)!;
        daemon.BeginOutputReadLine();
        daemon.BeginErrorReadLine();
        daemons.Add(daemon);
    }
}
