using System.Collections.Immutable;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Generate.BringUp;

/// <summary>One step of a bring-up: a stream, what it shows, and what to do about it.</summary>
/// <param name="Phase">Where in the order it belongs.</param>
/// <param name="Name">One or more words with dashes, for file names.</param>
/// <param name="Title">The same for people.</param>
/// <param name="Records">What is sent, from the first record to the last; the same each time they are asked for.</param>
internal sealed record BringUpStep(BringUpPhase Phase, string Name, string Title, IEnumerable<DeflectionRecord> Records)
{
    /// <summary>Its place in the order, from 1.</summary>
    public int Number { get; init; }

    /// <summary>Name of its files, without ending.</summary>
    public string FileName => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Number:00}-{Name}");

    /// <summary>What is connected to what.</summary>
    public required string Connect { get; init; }

    /// <summary>What the blank line does, and why.</summary>
    public required string Beam { get; init; }

    /// <summary>Numbers to compare with: name and value.</summary>
    public required ImmutableArray<(string Name, string Value)> Facts { get; init; }

    /// <summary>More numbers, in rows; null for none.</summary>
    public BringUpTable? Table { get; init; }

    /// <summary>What to look at.</summary>
    public required ImmutableArray<string> LookAt { get; init; }

    /// <summary>What may be seen instead, and what is wrong then.</summary>
    public required ImmutableArray<(string Seen, string Cause)> Faults { get; init; }

    /// <summary>When to stop.</summary>
    public required ImmutableArray<string> Stop { get; init; }

    /// <summary>Pictures of the expected waveforms.</summary>
    public required ImmutableArray<BringUpView> Views { get; init; }
}

/// <summary>The parts of a bring-up, in this order.</summary>
internal enum BringUpPhase
{
    /// <summary>The controller alone, with a scope or a voltmeter; the microscope's high voltage is off.</summary>
    NoBeam,

    /// <summary>The controller behind its cables, with loads in place of the microscope's inputs; the high voltage is still off.</summary>
    DummyLoad,

    /// <summary>The microscope with its beam, on a Faraday cup or a scrap of coated substrate.</summary>
    BeamOnScrap,
}

/// <summary>A picture of a part of a step's waveforms.</summary>
/// <param name="Name">What follows the step's name in the picture's; empty for nothing.</param>
/// <param name="Caption">What it shows.</param>
/// <param name="FromTicks">Its start.</param>
/// <param name="Ticks">Its length.</param>
internal sealed record BringUpView(string Name, string Caption, long FromTicks, long Ticks);

/// <summary>Numbers in rows.</summary>
/// <param name="Caption">What they are.</param>
/// <param name="Columns">Heads.</param>
/// <param name="Rows">Cells.</param>
internal sealed record BringUpTable(string Caption, ImmutableArray<string> Columns, ImmutableArray<ImmutableArray<string>> Rows);
