using System.Linq.Expressions;
using GuildStash.Data.Stock;

namespace GuildStash.Web.Features.Inventory;

/// <summary>Conditions on a lot put together into one that the database can answer.</summary>
internal static class LotPredicate
{
    /// <param name="conditions">None at all hold for every lot.</param>
    public static Expression<Func<Lot, bool>> All(IEnumerable<Expression<Func<Lot, bool>>> conditions) => Join(conditions, Expression.AndAlso, true);

    /// <param name="conditions">None at all hold for no lot.</param>
    public static Expression<Func<Lot, bool>> Any(IEnumerable<Expression<Func<Lot, bool>>> conditions) => Join(conditions, Expression.OrElse, false);

    private static Expression<Func<Lot, bool>> Join(IEnumerable<Expression<Func<Lot, bool>>> conditions, Func<Expression, Expression, Expression> join, bool ofNone)
    {
        ParameterExpression lot = Expression.Parameter(typeof(Lot), "l");
        Expression[] bodies = [.. conditions.Select(condition => new Renamed(condition.Parameters[0], lot).Visit(condition.Body))];
        return Expression.Lambda<Func<Lot, bool>>(bodies.Length == 0 ? Expression.Constant(ofNone) : bodies.Aggregate(join), lot);
    }

    private sealed class Renamed(ParameterExpression from, ParameterExpression to) : ExpressionVisitor
    {
        protected override Expression VisitParameter(ParameterExpression node) => node == from ? to : node;
    }
}
