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
    public void A_counter_that_stands_still_never_ends() => Assert.Equal(3, Call("Endless", 3));

    private static int Call(string name, params object[] arguments) => (int)Planted.GetMethod(name)!.Invoke(null, arguments)!;
}
