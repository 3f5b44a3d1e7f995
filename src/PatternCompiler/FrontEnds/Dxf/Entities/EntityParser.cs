using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Dxf.Tags;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>Gathers the pairs of one kind of entity. An instance is reused for every entity of its kind.</summary>
internal abstract class EntityParser
{
    /// <summary>Forgets the entity before.</summary>
    public abstract void Begin();

    /// <summary>Takes one pair; one without meaning for this entity is passed over.</summary>
    public abstract void Take(DxfTagReader tag);

    /// <summary>Makes the entity, or null if it is of a kind that encloses nothing, with the reason.</summary>
    /// <param name="header">What every entity has.</param>
    /// <param name="file">File name for messages.</param>
    /// <param name="ignoredBecause">Why null was returned.</param>
    public abstract DxfEntity? End(EntityHeader header, string file, out string? ignoredBecause);

    /// <summary>An error about the entity as a whole.</summary>
    protected static CompileException Bad(EntityHeader header, string file, string message, string? fix = null) =>
        new(DxfCodes.BadEntity, message, header.Origin.Place(file), fix);
}
