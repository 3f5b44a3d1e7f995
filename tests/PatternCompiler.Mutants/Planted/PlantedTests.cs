using System.Reflection;
using Xunit;

namespace PatternCompiler.Mutants.Planted;

/// <summary>Calls <c>PlantedFaults</c>, which exists in the switched build alone.</summary>
public sealed class PlantedTests
{
    private static readonly Type Planted = Assembly.Load("PatternCompiler").GetType("PatternCompiler.Mutants.Planted.PlantedFaults", throwOnError: true)!;

    [Fact]
    public void A_square_hides_swapped_sides() => Assert.Equal(0, Call("Missed", 5, 5));

    [Fact]
    public void Unlike_sides_show_them() => Assert.Equal(3, Call("Caught", 5, 2));

    [Fact]
    public void What_runs_once_shows_them() => Assert.Equal(3, Planted.GetProperty("Initially")!.GetValue(null));

    [Fact]
    public void What_is_remembered_shows_them() => Assert.Equal(3, Call("Remembered", 5, 2));

    [Fact]
    public void A_counter_that_stands_still_never_ends() => Assert.Equal(3, Call("Endless", 3));

    [Fact]
    public void Every_kind_of_fault_shows_somewhere()
    {
        for (int i = 0; i < 36; i++)
        {
            (int x, int y) = (i / 6, i % 6);
            Assert.Equal(x * y + (x < y && y != 3 ? 7 : 0) + (x > y - 1 ? x : y - 1), Call("EveryKind", x, y));
        }
    }

    private static int Call(string name, params object[] arguments) => (int)Planted.GetMethod(name)!.Invoke(null, arguments)!;
}
