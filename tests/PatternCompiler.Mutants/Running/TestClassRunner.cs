using System.Diagnostics;
using System.Reflection;
using Xunit.Abstractions;
using Xunit.Sdk;

namespace PatternCompiler.Mutants.Running;

/// <summary>Runs the tests of one class in this process, one after the other.</summary>
internal sealed class TestClassRunner : IDisposable
{
    private readonly XunitTestFramework _framework = new(new Ignore());
    private readonly ITestFrameworkDiscoverer _discoverer;
    private readonly ITestFrameworkExecutor _executor;

    public TestClassRunner(string assembly)
    {
        Assembly loaded = Assembly.Load(assembly);
        _discoverer = _framework.GetDiscoverer(Reflector.Wrap(loaded));
        _executor = _framework.GetExecutor(loaded.GetName());
    }

    /// <summary>The test classes of an assembly, in the order of their names.</summary>
    public static IEnumerable<string> Classes(string assembly) =>
        Assembly.Load(assembly).GetExportedTypes().Where(t => t is { IsClass: true, IsAbstract: false }
            && t.GetMethods().Any(m => m.GetCustomAttributes().Any(a => a is Xunit.FactAttribute))).Select(t => t.FullName!).Order(StringComparer.Ordinal);

    /// <summary>Runs until the first failure; null where none fails.</summary>
    public (string? Failed, long Milliseconds) Run(string type)
    {
        var options = new Options();
        var found = new Found();
        _discoverer.Find(type, includeSourceInformation: false, found, options);
        found.Ended.Wait();
        var outcome = new Outcome();
        var clock = Stopwatch.StartNew();
        _executor.RunTests(found.Cases, outcome, options);
        outcome.Ended.Wait();
        return (outcome.Failed, clock.ElapsedMilliseconds);
    }

    public void Dispose()
    {
        _executor.Dispose();
        _discoverer.Dispose();
        _framework.Dispose();
    }

    private sealed class Ignore : Xunit.LongLivedMarshalByRefObject, IMessageSink
    {
        public bool OnMessage(IMessageSinkMessage message) => true;
    }

    private sealed class Found : Xunit.LongLivedMarshalByRefObject, IMessageSink
    {
        public List<ITestCase> Cases { get; } = [];

        public ManualResetEventSlim Ended { get; } = new();

        public bool OnMessage(IMessageSinkMessage message)
        {
            switch (message)
            {
                case ITestCaseDiscoveryMessage found:
                    Cases.Add(found.TestCase);
                    break;
                case IDiscoveryCompleteMessage:
                    Ended.Set();
                    break;
            }

            return true;
        }
    }

    private sealed class Outcome : Xunit.LongLivedMarshalByRefObject, IMessageSink
    {
        public string? Failed { get; private set; }

        public ManualResetEventSlim Ended { get; } = new();

        public bool OnMessage(IMessageSinkMessage message)
        {
            switch (message)
            {
                case ITestFailed failed:
                    // A property test says in its message with which seed it fails.
                    Failed ??= $"{failed.Test.DisplayName} {failed.Messages.FirstOrDefault()}";
                    break;
                case IErrorMessage error:
                    Failed ??= error.ExceptionTypes.FirstOrDefault() ?? "error";
                    break;
                case ITestAssemblyFinished:
                    Ended.Set();
                    break;
            }

            return Failed is null;
        }
    }

    /// <summary>One test at a time, theories as one case each, messages before the next test begins.</summary>
    private sealed class Options : ITestFrameworkDiscoveryOptions, ITestFrameworkExecutionOptions
    {
        private readonly Dictionary<string, object> _values = new(StringComparer.Ordinal)
        {
            ["xunit.discovery.PreEnumerateTheories"] = false,
            ["xunit.discovery.SynchronousMessageReporting"] = true,
            ["xunit.execution.DisableParallelization"] = true,
            ["xunit.execution.SynchronousMessageReporting"] = true,
        };

        public TValue GetValue<TValue>(string name) => _values.TryGetValue(name, out object? value) ? (TValue)value : default!;

        public void SetValue<TValue>(string name, TValue value) => _values[name] = value!;
    }
}
