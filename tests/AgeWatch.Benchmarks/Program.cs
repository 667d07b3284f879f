using AgeWatch.Benchmarks.Nights;
using AgeWatch.Benchmarks.Served;
using BenchmarkDotNet.Running;

switch (args)
{
    case ["nights", .. var sizes]:
        await NightBench.RunAsync(sizes);
        break;
    case ["night-step", .. var step]:
        await NightStep.RunAsync(step);
        break;
    case ["digests", .. var on]:
        await DigestBench.RunAsync(isPostgres: on is ["postgres"]);
        break;
    case ["sink"]:
        await QuickSink.RunAsync();
        break;
    case ["due-read"]:
        await DueReadBench.RunAsync();
        break;
    default:
        BenchmarkSwitcher.FromAssembly(typeof(Program).Assembly).Run(args);
        break;
}
