namespace AgeWatch.Core.Records;

/// <summary>Why a fact cannot be written down. Code and sentence are the same whatever door the fact came
/// through.</summary>
/// <param name="Code">For scripts: lower-case with hyphens.</param>
/// <param name="Member">The C# name of the record's member at fault; each door points to it in its own way. Empty: the
/// fact as a whole.</param>
/// <param name="Detail">For people.</param>
/// <param name="Index">Which item of the member; null: the member itself.</param>
public readonly record struct Refusal(string Code, string Member, string Detail, int? Index = null);
