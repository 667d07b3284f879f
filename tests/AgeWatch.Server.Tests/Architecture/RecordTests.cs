using System.ComponentModel;
using System.Reflection;
using AgeWatch.Core;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Resources.Vehicles;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Architecture;

/// <summary>What is passed by its place can be left out or swapped and still compile; what is passed by its name and
/// required cannot.</summary>
public sealed class RecordTests
{
    private const int MostByPlace = 9;

    private static readonly List<Type> Ours = [
        .. new[] { typeof(DateSpan), typeof(AgeWatchContext), typeof(Program) }
            .SelectMany(type => type.Assembly.GetTypes())];

    [Fact]
    public void No_record_takes_ten_values_by_their_place()
    {
        Assert.Contains(Ours.Where(IsRecord), type => type == typeof(DateSpan));
        Assert.Contains(Ours.Where(IsRecord), type => type == typeof(VehicleReply));

        Assert.Empty(Ours.Where(IsLong).Select(type => type.FullName));
    }

    [Fact]
    public void A_long_record_is_seen()
    {
        Assert.True(IsLong(typeof(Ten)));
        Assert.True(IsLong(typeof(TenByValue)));
        Assert.False(IsLong(typeof(Nine)));
    }

    /// <summary>The document says the default of the attribute; a request that leaves the member out gets the
    /// other.</summary>
    [Fact]
    public void A_documented_default_is_the_one_that_is_taken()
    {
        var requests = Ours.Where(type => type.IsDefined(typeof(OptionalMembersAttribute), inherit: false)).ToList();
        Assert.NotEmpty(requests);
        foreach (var request in requests)
        {
            var contract = WireJson.Options.GetTypeInfo(request);
            var untold = contract.CreateObject!();
            foreach (var member in contract.Properties.Where(OptionalMembersAttribute.MayLeaveOut))
            {
                var told = member.AttributeProvider!.GetCustomAttributes(typeof(DefaultValueAttribute), inherit: false)
                    .Cast<DefaultValueAttribute>().SingleOrDefault();
                Assert.Equal(told?.Value, member.Get!(untold));
            }
        }
    }

    private static bool IsLong(Type type) => IsRecord(type)
        && type.GetConstructors(BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic)
            .Any(constructor => constructor.GetParameters().Length > MostByPlace);

    // The compiler writes this member for every record, class or struct.
    private static bool IsRecord(Type type) => type.GetMethod(
        "PrintMembers", BindingFlags.Instance | BindingFlags.NonPublic | BindingFlags.DeclaredOnly) is not null;

    private sealed record Nine(int A, int B, int C, int D, int E, int F, int G, int H, int I);

    private sealed record Ten(int A, int B, int C, int D, int E, int F, int G, int H, int I, int J);

    private readonly record struct TenByValue(int A, int B, int C, int D, int E, int F, int G, int H, int I, int J);
}
