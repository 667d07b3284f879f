using AgeWatch.Core.Marks;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;

namespace AgeWatch.Server.Resources.Imports;

/// <summary>The mark and the paper of a component's row.</summary>
internal sealed class ImportEvidence(AgeWatchContext db, ImportBook book)
{
    public bool TakeMark(Cells cells, Component component)
    {
        var convention = cells.Text(Columns.Convention, 64);
        var seenOn = ImportShared.PastDay(cells, book, Columns.SeenOn);
        if (cells.Text(Columns.Mark, MarkQuestion.MaxTextLength) is not { } text)
        {
            if (convention is not null || seenOn is not null)
            {
                cells.Wrong<string>(
                    Columns.Mark, "missing", "A convention or the day a mark was seen says nothing without the mark.");
            }

            return false;
        }

        if (convention is not (null or MarkQuestion.Undeclared)
            && MarkConventions.Find(convention) is null
            && !book.OwnConventions.Contains(convention))
        {
            cells.Wrong<string>(
                Columns.Convention, "unknown-convention",
                $"There is no such mark convention. Known: "
                    + string.Join(", ", MarkConventions.All.Select(c => c.Key).Concat(book.OwnConventions.Order()))
                        + ".");
            return false;
        }

        var evidence = ImportBook.Of(book.Evidence, component.Id);
        if (evidence.Exists(e => e.Kind == EvidenceRowKind.Mark
            && e.Text == text
            && e.Convention == convention
            && (seenOn is null || e.On == seenOn)))
        {
            return false;
        }

        // What an earlier sheet said of this mark is corrected by this one; what a person noted by hand stands beside
        // it.
        foreach (var old in evidence.FindAll(e => e.Kind == EvidenceRowKind.Mark && e.NotedBy == ImportShared.Noter))
        {
            old.WithdrawnAt = book.Now;
            old.WithdrawnReason = "A later import reads the mark otherwise.";
            evidence.Remove(old);
        }

        Add(component, EvidenceRowKind.Mark, seenOn, text, convention);
        return true;
    }

    public bool TakeDocument(Cells cells, Component component)
    {
        if (ImportShared.PastDay(cells, book, Columns.DocumentOn) is not { } day
            || ImportBook.Of(book.Evidence, component.Id)
                .Exists(e => e.Kind == EvidenceRowKind.Document && e.On == day))
        {
            return false;
        }

        Add(component, EvidenceRowKind.Document, day, null, null);
        return true;
    }

    private void Add(Component component, EvidenceRowKind kind, DateOnly? day, string? text, string? convention)
    {
        var row = new EvidenceRow
        {
            ClubId = book.ClubId,
            Id = Guid.CreateVersion7(),
            ComponentId = component.Id,
            Kind = kind,
            On = day,
            Text = text,
            Convention = convention,
            NotedBy = ImportShared.Noter,
            RecordedAt = book.Now,
        };
        ImportBook.Of(book.Evidence, component.Id).Add(row);
        db.Evidence.Add(row);
    }
}
