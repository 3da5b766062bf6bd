namespace GuildStash.Web.Tests.Faults;

internal enum ModelState
{
    Active,
    Lapsed,
    Cancelled,
    TakenHome,
}

internal sealed class ModelHold(Guid id, bool isOthers, long mg)
{
    public Guid Id => id;

    /// <summary>The other member's, not the member's.</summary>
    public bool IsOthers => isOthers;

    public long Mg => mg;

    public ModelState State { get; set; }
}

internal sealed class ModelCheckout(Guid id, bool isOthers, long mg)
{
    public Guid Id => id;

    public bool IsOthers => isOthers;

    public long AtHome { get; set; } = mg;

    public bool IsClosed { get; set; }
}

internal sealed class ModelReturn(Guid id, long mg, bool isSettled)
{
    public Guid Id => id;

    public long Mg => mg;

    public bool IsSettled { get; set; } = isSettled;
}

/// <summary>
/// One lot as a child would keep its books: a heap of milligrams on the shelf, promises on it, heaps at members' homes and a heap that
/// waits for inspection. Each answer is the rule that refuses, or null where it is done.
/// </summary>
internal sealed class ModelLot(string code, long mg)
{
    private const long ToleranceMg = 5_000;
    private const long BallMg = 50_000;
    private long _thrownAwayAlone;

    public string Code => code;

    public long Shelf { get; private set; } = mg;

    public long Waiting => Returns.Where(r => !r.IsSettled).Sum(r => r.Mg);

    public List<ModelHold> Holds { get; } = [];

    public List<ModelCheckout> Checkouts { get; } = [];

    public List<ModelReturn> Returns { get; } = [];

    /// <summary>Lapsed, while nothing has tidied the lot up since: the books still show it as promised.</summary>
    public long Untidied { get; private set; }

    public bool IsClosed { get; private set; }

    public long Promised => Holds.Where(h => h.State == ModelState.Active).Sum(h => h.Mg);

    public long Free => Shelf - Promised;

    private static bool IsMass(long mg) => mg is > 0 and <= 100_000_000;

    private static long Tolerance(long mg) => Math.Clamp(Math.Min(ToleranceMg, mg / 10), 0, Math.Max(0, mg));

    public string? Reserve(long mg) => IsClosed ? "lot-closed" : !IsMass(mg) ? "invalid-value" : mg > Free ? "not-enough-free" : Done();

    public string? Lapse(ModelHold hold)
    {
        hold.State = ModelState.Lapsed;
        Untidied += hold.Mg;
        return null;
    }

    public string? Cancel(ModelHold hold, bool byOther, bool byVolunteer)
    {
        if (!byVolunteer && byOther != hold.IsOthers)
        {
            return "not-found";
        }

        if (Ended(hold) is { } refusal)
        {
            return refusal;
        }

        hold.State = ModelState.Cancelled;
        return Done();
    }

    public string? HandOver(ModelHold hold, long? mg, bool whole)
    {
        if (Ended(hold) is { } refusal)
        {
            return refusal;
        }

        hold.State = ModelState.TakenHome;
        string? answer = Take(mg ?? hold.Mg, whole);
        hold.State = answer is null ? ModelState.TakenHome : ModelState.Active;
        return answer;
    }

    public string? HandOver(long mg, bool whole) => IsClosed ? "lot-closed" : Take(mg, whole);

    public string? TakeBack(ModelCheckout checkout, long mg, bool isAll)
    {
        if (!IsMass(mg))
        {
            return "invalid-value";
        }

        if (checkout.IsClosed)
        {
            return "checkout-closed";
        }

        if (mg - checkout.AtHome > Tolerance(checkout.AtHome))
        {
            return "more-than-taken";
        }

        checkout.AtHome = isAll ? 0 : Math.Max(0, checkout.AtHome - mg);
        checkout.IsClosed = checkout.AtHome == 0;
        IsClosed = false;
        return Done();
    }

    /// <summary>Where the yarn that came back went, once the books have given the return a key.</summary>
    public void Lay(ModelReturn back)
    {
        Returns.Add(back);
        Shelf += back.IsSettled ? back.Mg : 0;
    }

    public string? Finish(ModelCheckout checkout, bool byOther, bool byVolunteer)
    {
        if (!byVolunteer && byOther != checkout.IsOthers)
        {
            return "not-found";
        }

        if (checkout.IsClosed)
        {
            return "checkout-closed";
        }

        (checkout.AtHome, checkout.IsClosed) = (0, true);
        return Done();
    }

    /// <summary>A request to throw leftovers away waits, until the model's second person decides.</summary>
    public ModelReturn? Asked { get; private set; }

    /// <summary>More than a ball's worth, with what was thrown away alone before, is only asked for.</summary>
    public string? Inspect(ModelReturn back, bool passed)
    {
        if (back.IsSettled)
        {
            return "return-settled";
        }

        if (!passed && back.Mg + _thrownAwayAlone > BallMg)
        {
            if (Asked is not null)
            {
                return "waits-already";
            }

            Asked = back;
            return Done();
        }

        _thrownAwayAlone += passed ? 0 : back.Mg;
        return Settle(back, passed);
    }

    /// <summary>A second person decides what was asked for.</summary>
    public string? Decide(bool approved)
    {
        ModelReturn back = Asked!;
        if (!approved)
        {
            Asked = null;
            return null;
        }

        if (back.IsSettled)
        {
            return "return-settled";
        }

        Asked = null;
        return Settle(back, passed: false);
    }

    private string? Settle(ModelReturn back, bool passed)
    {
        back.IsSettled = true;
        Shelf += passed ? back.Mg : 0;
        return Close();
    }

    public string? Move() => IsClosed ? "invalid-value" : Done();

    private static string? Ended(ModelHold hold) => hold.State switch
    {
        ModelState.Active => null,
        ModelState.Lapsed => "hold-lapsed",
        _ => "hold-ended",
    };

    private string? Take(long mg, bool whole)
    {
        if (!IsMass(mg))
        {
            return "invalid-value";
        }

        if (!whole)
        {
            return mg > Free ? "not-enough-free" : Leave(mg);
        }

        return Promised > 0 ? "held-for-others" : Math.Abs(mg - Free) > Tolerance(Free) ? "beyond-weighing-error" : Leave(Free);
    }

    private string? Leave(long mg)
    {
        Shelf -= mg;
        return Close();
    }

    private string? Close()
    {
        IsClosed |= Shelf + Waiting == 0;
        return Done();
    }

    /// <summary>Whoever did something with the lot has tidied it up.</summary>
    private string? Done()
    {
        Untidied = 0;
        return null;
    }
}
