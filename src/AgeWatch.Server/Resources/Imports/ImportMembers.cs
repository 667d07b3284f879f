using AgeWatch.Core;
using AgeWatch.Server.Kernel.Checks;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Imports;

internal sealed class ImportMembers(AgeWatchContext db, ImportBook book)
{
    public Taken Take(Cells cells)
    {
        var reference = cells.Text(Columns.Reference, 100) ?? cells.Text(Columns.Member, 100);
        var name = cells.Text(Columns.Name);
        var email = cells.Text(Columns.Email, 254);
        if (email is not null && MailAddressPolicy.Objection(email) is { } objection)
        {
            cells.Wrong<string>(Columns.Email, "wrong-format", $"The address {objection}.");
            return default;
        }

        var member = reference is not null
            ? book.Members.Find(m => m.Reference == reference)
            : book.Members.Find(m => m.Reference is null && email is not null && m.Email == email);
        if (member is null)
        {
            if (cells.Required(Columns.Name) is null)
            {
                return default;
            }

            member = new Member
            {
                ClubId = book.ClubId,
                Id = Guid.CreateVersion7(),
                Reference = reference,
                Name = name!,
                CreatedAt = book.Now
            };
            book.Members.Add(member);
            db.Members.Add(member);
        }

        member.Name = name ?? member.Name;
        member.MoveTo(email ?? member.Email, book.Now);
        member.IsOfficer = cells.YesNo(Columns.Officer) ?? member.IsOfficer;
        member.DistanceUnit = cells.Word<DistanceUnit>(Columns.Unit) ?? member.DistanceUnit;
        return new(member, db.Entry(member).State != EntityState.Unchanged, null);
    }
}
